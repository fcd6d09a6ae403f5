"""Every record as a row: one table a kind, and one for each list inside a kind, such as the lines of a batch."""

import typing
from collections.abc import Container, Iterable
from dataclasses import fields, is_dataclass
from typing import Any, get_args, get_origin

from bench.exporting.cells import Column, Table
from bench.records.kinds import KINDS
from bench.records.record import Record
from bench.records.schema import json_name

UNITS = (
    ("_sd_pct", "%"), ("_pct", "%"), ("_c_per_h", "°C/h"), ("_air_changes_per_h", "1/h"), ("air_changes_per_h", "1/h"),
    ("_l_per_s", "L/s"), ("_ml", "mL"), ("_um", "µm"), ("_m3", "m³"), ("_min", "min"), ("minutes", "min"), ("_g", "g"),
    ("_c", "°C"), ("_l", "L"),
)  # fmt: skip
EXACT = {"c": "°C", "g": "g", "at_c": "°C", "to_c": "°C"}
HEAD = (
    Column("record"), Column("kind version"), Column("recorded at, UTC"), Column("happened at, UTC"),
    Column("time zone", "min"), Column("device"), Column("entered"), Column("about"), Column("corrects"),
    Column("stands"),
)  # fmt: skip


def unit_of(name: str) -> str:
    """The unit that a field's name says."""
    if name in EXACT:
        return EXACT[name]
    return next((unit for suffix, unit in UNITS if name.endswith(suffix)), "")


def record_tables(records: Iterable[Record], standing: Container[str]) -> list[Table]:
    """A table for each kind of which there is a record, in the order of their names, with its lists after it.

    `standing` are the ids of the records that nobody corrected or withdrew.
    """
    found: dict[str, list[Record]] = {}
    for record in records:
        if record.kind in KINDS and record.v == KINDS[record.kind].version:
            found.setdefault(record.kind, []).append(record)
    tables = []
    for kind in sorted(found):
        rows = sorted(found[kind], key=lambda one: one.order)
        tables += [_of_kind(kind, rows, standing), *_lists(kind, rows)]
    return tables


def _of_kind(kind: str, records: list[Record], standing: Container[str]) -> Table:
    plain = [name for name, inner in _shape(KINDS[kind].data).items() if inner is None]
    columns = (*HEAD, *(Column(name, unit_of(name)) for name in plain))
    rows = [[*_front(one, standing), *(one.data.get(name) for name in plain)] for one in records]
    return Table(f"records/{kind}", f"Every record of the kind {kind}.", columns, rows)


def _front(record: Record, standing: Container[str]) -> list[Any]:
    return [
        record.id, record.v, record.at, record.happened_at, record.tz_min, record.device, record.how, record.subject,
        " ".join(record.corrects), record.id in standing,
    ]  # fmt: skip


def _lists(kind: str, records: list[Record]) -> list[Table]:
    tables = []
    for name, inner in _shape(KINDS[kind].data).items():
        if inner is None:
            continue
        parts = list(_shape(inner))
        columns = (Column("record"), Column("number"), *(Column(part, unit_of(part)) for part in parts))
        rows = [
            [one.id, n, *(item.get(part) for part in parts)]
            for one in records
            for n, item in enumerate(one.data.get(name) or (), 1)
        ]
        tables.append(Table(f"records/{kind}.{name}", f"The {name} of every record of the kind {kind}.", columns, rows))
    return tables


def _shape(schema: type) -> dict[str, type | None]:
    """The fields of a schema by their names in JSON: the schema of their items where they are a list of such."""
    hints = typing.get_type_hints(schema)
    return {json_name(f.name): _inner(hints[f.name]) for f in fields(schema)}


def _inner(hint: Any) -> type | None:
    if get_origin(hint) is tuple:
        first = get_args(hint)[0]
        return first if isinstance(first, type) and is_dataclass(first) else None
    return None
