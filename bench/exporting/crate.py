"""One batch as an RO-Crate 1.1 (https://w3id.org/ro/crate/1.1): ordinary files, and a JSON-LD file that names them."""

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import orjson

from bench.exporting.archive import Part, schema_json
from bench.exporting.cells import Column, Table, csv_bytes
from bench.exporting.summaries import family
from bench.journal.pictures import KINDS
from bench.records.moments import to_ms, utc_text
from bench.records.record import Record
from bench.records.state import State
from bench.workshop.things.attached import Attached, attached_to
from bench.workshop.things.batches import batch
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import firing

PROFILE = "https://w3id.org/ro/crate/1.1"
CONTEXT = [f"{PROFILE}/context", {"sha256": "https://schema.org/sha256"}]  # a term that early contexts lack
METADATA = "ro-crate-metadata.json"
RIGHTS = "All rights with the maker. Ask before use."
TYPES = KINDS | {"csv": "text/csv", "pdf": "application/pdf", "svg": "image/svg+xml", "json": "application/json",
                 "jsonl": "application/jsonl"}  # fmt: skip


@dataclass(frozen=True)
class CrateFile:
    """A file of a crate: its path, its bytes, what it is, and when it was made where that is known."""

    path: str
    data: bytes
    says: str
    made: str | None = None


@dataclass(frozen=True)
class About:
    """What is said of the whole. `maker` and `licence` only where somebody was asked for them."""

    name: str
    words: str
    made: str
    version: str
    maker: str | None = None
    licence: str | None = None


def crate_parts(about: About, files: Sequence[CrateFile]) -> list[Part]:
    """The files of the crate, the JSON-LD file first."""
    return [(METADATA, metadata(about, files)), *((one.path, one.data) for one in files)]


def metadata(about: About, files: Sequence[CrateFile]) -> bytes:
    """The JSON-LD file: the crate, its files with their sums, who made it by what, and the export as an action."""
    root: dict[str, Any] = {
        "@id": "./",
        "@type": "Dataset",
        "name": about.name,
        "description": about.words,
        "datePublished": about.made,
        "license": about.licence or RIGHTS,
        "hasPart": [{"@id": one.path} for one in files],
        "mentions": [{"@id": "#export"}],
    }
    people: list[dict[str, Any]] = []
    if about.maker:
        people = [{"@id": "#maker", "@type": "Person", "name": about.maker}]
        root["author"] = {"@id": "#maker"}
    program = {"@id": "#saggar", "@type": "SoftwareApplication", "name": "Saggar", "softwareVersion": about.version}
    action = {"@id": "#export", "@type": "CreateAction", "name": "Export", "endTime": about.made,
              "instrument": {"@id": "#saggar"}, "result": {"@id": "./"}}  # fmt: skip
    itself = {"@id": METADATA, "@type": "CreativeWork", "conformsTo": {"@id": PROFILE}, "about": {"@id": "./"}}
    graph = [itself, root, *(_entity(one) for one in files), *people, program, action]
    return json.dumps({"@context": CONTEXT, "@graph": graph}, ensure_ascii=False, indent=1).encode()


def _entity(one: CrateFile) -> dict[str, Any]:
    told = {
        "@id": one.path,
        "@type": "File",
        "name": one.says,
        "encodingFormat": TYPES.get(one.path.rsplit(".", 1)[-1], "application/octet-stream"),
        "contentSize": str(len(one.data)),
        "sha256": hashlib.sha256(one.data).hexdigest(),
    }
    return told | ({"dateCreated": one.made} if one.made else {})


def relatives(state: State, thing: str) -> list[str]:
    """A batch, all that came of it, and what it was made in and of: its jars, crucibles, firings, furnaces."""
    found = dict.fromkeys(family(state, thing))
    for one in list(found):
        view = charge(state, one)
        if view is not None:
            found |= dict.fromkeys([view.crucible, *(stay.firing for stay in view.residences)])
    mixed = batch(state, thing)
    for line in mixed.lines if mixed is not None else ():
        used = (line.weighed.body.jar if line.weighed is not None else None) or line.plan.jar
        found |= {used: None} if used else {}
    for one in list(found):
        fire = firing(state, one)
        found |= {fire.plan.furnace: None} if fire is not None else {}
    return list(found)


def records_of(state: State, things: Sequence[str]) -> list[Record]:
    """Every record about some things, once, in order: those whose own subject one of them is, and photos of them."""
    wanted = set(things)
    found = {r.id: r for thing in things for r in state.everything_about(thing) if r.subject in wanted}
    return sorted(found.values(), key=lambda one: one.order)


def data_files(state: State, thing: str) -> list[CrateFile]:
    """The records of a batch and its relatives, the readings of its firings, and the schema of the records."""
    things = relatives(state, thing)
    rows = [one.to_dict() for one in records_of(state, things)]
    lines = b"".join(orjson.dumps(row, option=orjson.OPT_SORT_KEYS) + b"\n" for row in rows)
    read = [
        [fire.id, utc_text(to_ms(record.when)), record.body.c]
        for fire in (firing(state, one) for one in things)
        if fire is not None
        for record in fire.readings
    ]
    table = Table("readings", "", (Column("firing"), Column("read, UTC"), Column("furnace", "°C")), read)
    return [
        CrateFile("records.jsonl", lines, "Records of the batch and of what it was made in, one JSON a line"),
        CrateFile("readings.csv", csv_bytes(table), "Readings at the probe of the furnace"),
        CrateFile("export.schema.json", schema_json(), "JSON Schema of the records"),
    ]


def photos_of_all(state: State, thing: str) -> list[tuple[str, str, str]]:
    """The photos of a batch and its relatives: the photo's id, the thing's sort, and when it was kept."""
    found = {}
    for one in relatives(state, thing):
        for record in state.rows(one, "photo.kept"):
            if record.body.of == one:
                found[record.body.photo] = (state.kind_of.get(one) or "thing", utc_text(to_ms(record.when)))
    return [(photo, sort, made) for photo, (sort, made) in found.items()]


def files_of_all(state: State, thing: str) -> list[Attached]:
    """The attached files of a batch and its relatives."""
    return [one for relative in relatives(state, thing) for one in attached_to(state, relative)]
