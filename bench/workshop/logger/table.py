"""A logger's file as a table: its text, whatever it was encoded in, and its rows, whatever parts them."""

import csv
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from bench.science.refusal import Refusal
from bench.translation import _

MOST_BYTES = 30 * 1024 * 1024
MOST_ROWS = 200_000
SAMPLE = 300
MARKS = ("\t", ";", "|", ",")
ALIKE = 0.6
"""So much of the lines must have the same number of columns for a mark to be what parts them."""
NOT_TEXT = (
    (b"PK\x03\x04", _("a spreadsheet or an archive")),
    (b"\xd0\xcf\x11\xe0", _("an old spreadsheet")),
    (b"%PDF", _("a PDF")),
    (b"\x89PNG", _("a picture")),
    (b"\xff\xd8\xff", _("a picture")),
    (b"\x1f\x8b", _("a packed file")),
)
UNITS = re.compile(
    r"|[(\[]?([°º]|deg ?)?[CF][)\]]?"  # °C, (F)
    r"|[(\[]?(h+:m+(:s+)?|ms|s|sec|min|h)[)\]]?"  # s, hh:mm:ss
    r"|[(\[]?[ymd]+[-./][ymd]+[-./][ymd]+( ?h+:m+(:s+)?)?[)\]]?"  # yyyy-mm-dd
    r"|[%#-]",
    re.IGNORECASE,
)
"""What stands in a line of units: nothing, a temperature's, a time's, or a sign."""
SHOWN = 60


@dataclass(frozen=True)
class Table:
    """The rows of a file with the number of each one's first line, from 1; `head` are the columns' names, if any.

    `odd` are rows with another number of columns than the most, after the first good one; `notes` what was noticed.
    """

    mark: str
    head: tuple[str, ...]
    rows: list[tuple[int, list[str]]]
    odd: list[tuple[int, str]]
    notes: tuple[str, ...]

    @property
    def width(self) -> int:
        return len(self.rows[0][1])

    def column(self, at: int, most: int = SAMPLE) -> list[str]:
        """The first values of a column, those that hold something."""
        found = (row[at].strip() for _, row in self.rows[:most])
        return [value for value in found if value]

    def name(self, at: int) -> str:
        """A column's name, or its number from 1."""
        return self.head[at] if at < len(self.head) and self.head[at] else _("Column {at}", at=at + 1)


def text_of(data: bytes) -> tuple[str, str]:
    """The text of a file and what had to be taken for granted; Refusal where it is no text."""
    if not data.strip(b"\x00\r\n\t "):
        raise Refusal(_("This file is empty."), "file")
    if len(data) > MOST_BYTES:
        raise Refusal(_("This file is larger than {mb} MB.", mb=MOST_BYTES // 1024 // 1024), "file")
    for start, what in NOT_TEXT:
        if data.startswith(start):
            raise Refusal(_("This is {what}, not a table of text. Save it as CSV first.", what=what), "file")
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return _utf16(data, "utf-16"), ""
    if data[:200].count(0) > len(data[:200]) // 4:
        return _utf16(data, "utf-16-le" if data[1:2] == b"\x00" else "utf-16-be"), ""
    if b"\x00" in data:
        raise Refusal(_("This file has zero bytes inside: it is not text."), "file")
    try:
        return data.decode("utf-8-sig"), ""
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace"), _(
            "The file is not UTF-8. It was read as Western European (Windows-1252)."
        )


def _utf16(data: bytes, name: str) -> str:
    try:
        return data.decode(name).lstrip("\ufeff")
    except UnicodeDecodeError:
        raise Refusal(_("This file begins like UTF-16 text, but is not."), "file") from None


def table(data: bytes) -> Table:
    """The table in a file. Refusal, with the line, where there is none."""
    text, note = text_of(data)
    lines = text.splitlines()
    mark, width = _mark(lines)
    rows: list[tuple[int, list[str]]] = []
    odd: list[tuple[int, str]] = []
    for number, row in _rows(lines, mark):
        if not any(cell.strip() for cell in row):
            continue
        # A mark at the end of each line makes an empty last column in some loggers, and not always.
        cells = row[:-1] if len(row) == width + 1 and not row[-1].strip() else row
        if len(cells) == width:
            rows.append((number, cells))
        elif rows:
            odd.append(
                (
                    number,
                    _(
                        "{n} columns instead of {width}: {row}",
                        n=len(cells),
                        width=width,
                        row=_short(lines[number - 1]),
                    ),
                )
            )
        if len(rows) > MOST_ROWS:
            raise Refusal(
                _("This file has more than {n:,} rows: split it.", n=MOST_ROWS).replace(",", " "),
                "file",
            )
    first = next((n for n, (_line, row) in enumerate(rows) if any(map(_holds_number, row))), len(rows))
    head = _head([row for _line, row in rows[:first]])
    rows = rows[first:]
    if not rows:
        raise Refusal(_("No rows of figures were found. Line 1 reads: {row}", row=_short(lines[0])), "file")
    return Table(mark, head, rows, odd, (note,) if note else ())


def _head(above: list[list[str]]) -> tuple[str, ...]:
    """The names of the columns, of the lines above the first figures: the last, with its units where it is those.

    What stands above them is what loggers say of themselves.
    """
    *_words, last = above or [[]]
    names = tuple(cell.strip() for cell in last)
    if len(above) < 2 or not all(UNITS.fullmatch(name) for name in names):
        return names
    return tuple(f"{name.strip()} {unit}".strip() for name, unit in zip(above[-2], names, strict=True))


def _rows(lines: list[str], mark: str) -> Iterator[tuple[int, list[str]]]:
    reader = csv.reader(lines, delimiter=mark)
    before = 0
    while True:
        try:
            row = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            raise Refusal(_("Line {n} cannot be read as a row: {error}.", n=before + 1, error=error), "file") from None
        yield before + 1, row
        before = reader.line_num


def _mark(lines: list[str]) -> tuple[str, int]:
    """What parts the columns, and how many columns the rows have: the mark under which most lines are alike."""
    sample = [line for line in lines[:SAMPLE] if line.strip()]
    best: tuple[float, int, str] | None = None
    for mark in MARKS:
        try:
            widths = Counter(len(_trimmed(row)) for row in csv.reader(sample, delimiter=mark) if row)
        except csv.Error:
            continue
        width, count = max(((w, n) for w, n in widths.items() if w > 1), key=lambda pair: pair[1], default=(0, 0))
        share = count / max(1, len(sample))
        if width > 1 and share >= ALIKE and (best is None or share > best[0] + 0.1):
            best = (share, width, mark)
    if best is None or len(sample) < 2:
        first = _short(sample[0]) if sample else ""
        raise Refusal(
            _("No columns were found: the lines are split differently. Line 1 reads: {first}", first=first), "file"
        )
    return best[2], best[1]


def _trimmed(row: list[str]) -> list[str]:
    return row[:-1] if len(row) > 2 and not row[-1].strip() else row


def _holds_number(cell: str) -> bool:
    return bool(cell.strip()) and cell.strip().lstrip("+-−")[:1].isdigit()


def _short(text: str) -> str:
    said = text.strip()
    return said if len(said) <= SHOWN else said[: SHOWN - 1] + "…"
