"""Which things a record makes, names, or undoes: read from the record alone."""

from collections.abc import Mapping
from typing import Any

from bench.records.kinds import KINDS, MAKERS
from bench.records.record import Record
from bench.records.schema import is_ulid


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


def referenced_ids(record: Record) -> set[str]:
    """The things whose pages this record belongs on: its subject, what it names, and what it makes."""
    found = {record.subject, *record.also.values()}
    if record.kind in MAKERS and is_known(record):
        made = thing_made(record)
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
    if record.kind == "withdrawn":
        return [*record.corrects, *withdraws(record)]
    return list(record.corrects)


def _named(value: Mapping[str, Any] | list[Any] | tuple[Any, ...], found: set[str]) -> None:
    # JSON, nearly always: what it is made of is asked for first, and anything else that names keys last.
    for inner in value if isinstance(value, list | tuple) else value.values():
        if isinstance(inner, str):
            if len(inner) == 26 and is_ulid(inner):
                found.add(inner)
        elif inner is None or isinstance(inner, float | int):
            continue
        elif isinstance(inner, dict | list | tuple | Mapping):
            _named(inner, found)
