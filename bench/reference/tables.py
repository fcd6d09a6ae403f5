"""Reads the data files: CSV with a heading line, one thing a row, lists within a cell parted by a semicolon."""

import csv
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import MISSING, fields
from io import StringIO
from pathlib import Path
from typing import Annotated, Any, TypeVar

from bench.translation import Later

T = TypeVar("T")

DATA = Path(__file__).parent / "data"


def data_bytes(name: str) -> bytes:
    """The bytes of one data file, for example `reagents.csv`."""
    return (DATA / name).read_bytes()


def rows(name: str) -> Iterator[dict[str, str]]:
    """The rows of one data file as {heading: cell}, in the file's order."""
    return csv.DictReader(StringIO(data_bytes(name).decode("utf-8"), newline=""), strict=True)


def listed(cell: str) -> tuple[str, ...]:
    """`a; b; c` as a tuple; an empty cell is the empty tuple."""
    return tuple(part.strip() for part in cell.split(";") if part.strip())


def counted(cell: str) -> Mapping[str, float]:
    """`Co 1; Al 2` as {element: count}."""
    pairs = (part.rsplit(" ", 1) for part in listed(cell))
    return {name: float(count) for name, count in pairs}


def yes_or_no(cell: str) -> bool:
    """`yes` is true, `no` and an empty cell are false; anything else is an error."""
    if cell not in ("yes", "no", ""):
        raise ValueError(f"{cell!r} is neither yes nor no")
    return cell == "yes"


def number_or_none(cell: str) -> float | None:
    """A number, or None for an empty cell."""
    return float(cell) if cell else None


def whole_or_none(cell: str) -> int | None:
    """A whole number, or None for an empty cell."""
    return int(cell) if cell else None


Sentence = Annotated[str, "said later"]
"""A field whose words a person reads as they stand: they are said in the language of the moment."""

READERS: Mapping[Any, Callable[[str], Any]] = {
    str: str,
    Sentence: Later,
    float: float,
    int: int,
    bool: yes_or_no,
    float | None: number_or_none,
    int | None: whole_or_none,
    tuple[str, ...]: listed,
    Mapping[str, float]: counted,
}


def readers_of(kind: type) -> dict[str, tuple[Callable[[str], Any], bool]]:
    """For each field of a dataclass that a cell can hold: how it is read, and whether the cell may be empty."""
    return {
        each.name: (READERS[each.type], each.default is not MISSING or each.default_factory is not MISSING)
        for each in fields(kind)
        if each.type in READERS
    }


def build(kind: type[T], found: Iterable[dict[str, str]], **attached: Mapping[str, Any]) -> Iterator[T]:
    """Each row as one `kind`.

    `attached` gives further fields by the row's slug, such as gas steps kept in a file of their own.

    An empty cell takes the field's default where it has one. Raises ValueError, naming the row and the column, where
    a cell does not fit.
    """
    readers = readers_of(kind)
    for row in found:
        values: dict[str, Any] = {}
        for name, cell in row.items():
            reader = readers.get(name)
            if reader is None or (cell == "" and reader[1]):
                continue
            try:
                values[name] = reader[0](cell)
            except ValueError as fault:
                raise ValueError(f"{kind.__name__} {next(iter(row.values()))}, {name}: {fault}") from fault
        for name, by_slug in attached.items():
            if row["slug"] in by_slug:
                values[name] = by_slug[row["slug"]]
        yield kind(**values)


def parts(kind: type[T], name: str, owner: str) -> dict[str, tuple[T, ...]]:
    """The rows of a file of parts (gas steps, signs …), gathered by the thing in the column `owner`, in the file's
    order.
    """
    gathered: dict[str, list[T]] = {}
    found = list(rows(name))
    for row, part in zip(found, build(kind, found), strict=True):
        gathered.setdefault(row[owner], []).append(part)
    return {slug: tuple(each) for slug, each in gathered.items()}
