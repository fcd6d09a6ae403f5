"""Everything in one zip: the tables, every record as JSON with its schema, a reader to begin with, the photos."""

import zipfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from typing import Any

import orjson

from bench.exporting.cells import Table, csv_bytes
from bench.exporting.json_schema import VERSION, export_schema
from bench.exporting.record_tables import record_tables
from bench.exporting.summaries import tables
from bench.journal.attachments import ENDING
from bench.journal.pictures import KINDS
from bench.records.record import Record
from bench.records.state import State
from bench.reference import Library

Part = tuple[str, bytes]
DAY = (1980, 1, 1, 0, 0, 0)
"""The date of every file in an archive: the same records give the same bytes."""
PICTURES = tuple(f".{ending}" for ending in KINDS)
READER = "read_export.py"
READ_ME = """What is in here

tables/    what the records come to: jars, batches, firings, readings, powders, swatches
records/   every record as it was written, a file a kind, also those that were corrected (column *stands*)
photos/    the pictures, as they were kept
files/     the attached files, by their ids; tables/attached-files.csv has their names and digests
records.json         all records in one file; export.schema.json is its JSON Schema
read_export.py       a small program that reads it; begin with it for one of your own

The tables are CSV after RFC 4180 in UTF-8. A unit stands in the head of its column, in brackets. A text that a
spreadsheet would run begins with an apostrophe; take it off when you read the table by a program.
Times are in UTC. Ids are the same in all files.
"""


def export_json(records: Iterable[Record], made: str, program: str) -> bytes:
    """Every record in one file."""
    rows = [record.to_dict() for record in sorted(records, key=lambda one: one.order)]
    return orjson.dumps({"saggar_export": VERSION, "made": made, "program": program, "records": rows})


def schema_json() -> bytes:
    """The published schema of that file."""
    return orjson.dumps(export_schema(), option=orjson.OPT_INDENT_2) + b"\n"


def reader_source() -> bytes:
    """The example reader, as its file stands."""
    return (files("bench.exporting") / "example_reader.py").read_bytes()


@dataclass(frozen=True)
class Taken:
    """What is read of a bench for its archive. All else needs no bench, so that others can go on with it meanwhile."""

    records: list[Record]
    standing: frozenset[str]
    tables: list[Table]
    made: str
    program: str


def taken(records: list[Record], state: State, library: Library, made: str, program: str) -> Taken:
    """What is read of a bench, by its state."""
    standing = frozenset(one.id for one in records if state.is_effective(one.id))
    return Taken(records, standing, tables(state, library), made, program)


def parts(of: Taken, photos: Path | None = None) -> Iterator[Part]:
    """Every file of the archive with its bytes, one after the other; the photos where their folder is given."""
    yield "READ ME.txt", READ_ME.encode()
    yield "records.json", export_json(of.records, of.made, of.program)
    yield "export.schema.json", schema_json()
    yield READER, reader_source()
    for table in of.tables:
        yield f"tables/{table.name}.csv", csv_bytes(table)
    for table in record_tables(of.records, of.standing):
        yield f"{table.name}.csv", csv_bytes(table)
    yield from picture_parts(photos)


def picture_parts(photos: Path | None) -> Iterator[Part]:
    """The pictures and attached files of a folder, one after the other; none without one."""
    for path in sorted(photos.iterdir()) if photos is not None and photos.is_dir() else ():
        if path.is_file() and path.suffix in PICTURES:
            yield f"photos/{path.name}", path.read_bytes()
        elif path.is_file() and path.suffix == f".{ENDING}":
            yield f"files/{path.name}", path.read_bytes()


def write_zip(found: Iterable[Part], into: Any) -> None:
    """The files into an open file, one after the other, so that only one of them is in memory."""
    with zipfile.ZipFile(into, "w") as archive:
        for name, data in found:
            told = zipfile.ZipInfo(name, DAY)
            told.external_attr = 0o644 << 16
            packs = not name.endswith(PICTURES)
            archive.writestr(told, data, zipfile.ZIP_DEFLATED if packs else zipfile.ZIP_STORED)
