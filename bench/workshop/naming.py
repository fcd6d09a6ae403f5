"""Which things a record makes, names, or undoes: read from the record alone."""

from collections.abc import Mapping
from typing import Any

from bench.workshop.kinds import KINDS, MAKERS
from bench.workshop.records import Record
from bench.workshop.schema import is_ulid


def is_known(record: Record) -> bool:
    """Whether this bench knows the record's kind and version, and so folds it."""
    known = KINDS.get(record.kind)
    return known is not None and record.v == known.version


def thing_made(record: Record) -> str | None:
    """The ULID of the thing that a record makes or makes again by correcting it; None for other kinds.

    An opening that corrects another may go further back: `State.made` follows it.
    """
    if record.kind == "opened":
        return record.corrects[0] if record.corrects else record.id
    if record.kind == "waste.added":
        return str(record.data["container"])
    return record.subject if record.kind in MAKERS else None


def things_touched(record: Record) -> set[str]:
    """The things whose pages this record belongs on: its subject, what it names, and what it makes."""
    found = {record.subject, *record.also.values()}
    made = thing_made(record) if is_known(record) else None
    if made is not None:
        found.add(made)
    _named(record.data, found)
    return found


def withdraws(record: Record) -> list[str]:
    """The ids of the records that this one withdraws, never its own."""
    ids = record.data["ids"] if record.kind == "withdrawn" else ()
    return [i for i in dict.fromkeys(ids) if i != record.id]


def undoes(record: Record) -> list[str]:
    """The ids of the records that this one corrects or withdraws, never its own."""
    return [*record.corrects, *withdraws(record)]


def _named(value: Any, found: set[str]) -> None:
    if isinstance(value, str):
        if len(value) == 26 and is_ulid(value):
            found.add(value)
    elif isinstance(value, Mapping):
        for inner in value.values():
            _named(inner, found)
    elif isinstance(value, list | tuple):
        for inner in value:
            _named(inner, found)
