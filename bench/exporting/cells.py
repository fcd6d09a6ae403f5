"""Tables as CSV after RFC 4180: a comma between cells, CRLF after rows, quotes where they are needed, UTF-8.

A spreadsheet takes a text that begins with one of `= + - @` for a formula and runs it. Such a text gets an apostrophe
in front, and so does one that begins with an apostrophe itself, so that reading back takes one off and nothing is lost.
Numbers are written with as many digits as they have. The first bytes are the mark by which a spreadsheet sees UTF-8.
"""

import csv
import io
import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from bench.science.refusal import Refusal
from bench.translation import _

FORMULA = ("=", "+", "-", "@", "\t", "\r", "'")
MARK = "\ufeff"
MOST_CELL = 200_000


@dataclass(frozen=True)
class Column:
    """One column: its name, and the unit of its numbers where it has one."""

    name: str
    unit: str = ""

    @property
    def head(self) -> str:
        return f"{self.name} [{self.unit}]" if self.unit else self.name


@dataclass(frozen=True)
class Table:
    """One file of CSV. Cells are text, numbers, yes and no, None, or plain JSON."""

    name: str
    says: str
    columns: tuple[Column, ...]
    rows: Sequence[Sequence[Any]]


def csv_bytes(table: Table) -> bytes:
    """The table as a file."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([column.head for column in table.columns])
    writer.writerows([cell(value) for value in row] for row in table.rows)
    return (MARK + out.getvalue()).encode()


def cell(value: object) -> str:
    """A value as a cell's text."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, str):
        return f"'{value}" if value.startswith(FORMULA) else value
    return cell(json.dumps(value, ensure_ascii=False))


def text_of(typed: str) -> str:
    """The text of a cell, without the apostrophe that keeps a spreadsheet from running it."""
    return typed[1:] if typed.startswith("'") and typed[1:].startswith(FORMULA) else typed


def read_csv(data: bytes, field: str = "file") -> list[list[str]]:
    """The rows of a CSV file, the head first: with or without the mark, with commas, semicolons or tabs. Refusal."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Refusal(_("This file is not UTF-8 text. Save it as CSV, UTF-8."), field) from None
    if "\0" in text:
        raise Refusal(_("This file is not a table. Save it as CSV, UTF-8."), field)
    first = text.partition("\n")[0]
    mark = max(",;\t", key=first.count)
    try:
        csv.field_size_limit(MOST_CELL)
        rows = [[text_of(one) for one in row] for row in csv.reader(io.StringIO(text, newline=""), delimiter=mark)]
    except csv.Error:
        raise Refusal(_("This file is not a table. Save it as CSV, UTF-8."), field) from None
    found = [row for row in rows if any(one.strip() for one in row)]
    if not found:
        raise Refusal(_("This file is empty."), field)
    return found


def joined(rows: Iterable[Sequence[str]], columns: Sequence[str]) -> list[dict[str, str]]:
    """Rows by the names of their columns; a short row lacks the last ones."""
    return [dict(zip(columns, row, strict=False)) for row in rows]
