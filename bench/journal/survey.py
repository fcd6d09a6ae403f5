"""Reading a data file's bytes: every good line, and what is wrong with the rest."""

import re
from dataclasses import dataclass, field
from typing import Any
from zlib import crc32

import orjson

from bench.journal.lines import HEAD, TAIL, doc_of, encode, key_of, record_id, twin_key
from bench.journal.mending import recover
from bench.journal.rereading import Rereader
from bench.translation import _

OURS = re.compile(rb'^,?"[0-9A-Z]{0,26}|"(kind|device|hlc|seq|crc|subject|data)":')
BLANKS_BEHIND = re.compile(rb"\}\}\n[ \t\r\n]+\Z")
"""What an editor leaves behind the end: no power cut does."""
SEALED = re.compile(rb'"crc":\s*"[0-9a-f]{8}"')
HINT = re.compile(rb'"kind":"([a-z.]{1,40})"|"device":"([A-Za-z0-9~._-]{1,64})"|"seq":(\d{1,15})')


MOST_BATCH = 4 << 20
"""No write of this program is longer: so much may be torn at the end when the power goes, and no more."""


@dataclass
class Survey:
    """What the bytes of a data file hold.

    `lines` maps each key to its line. `doubtful` holds records that read as JSON, but whose check sum does not fit.
    `lost` has a few plain words on each stretch that could not be read. `torn` says that only the end is unreadable,
    and not longer than a write that the power cut; `cut`, that the end is missing at all. `appended` counts the bytes
    that somebody else added behind the end. `foreign` says in a word what a file is that holds nothing of this bench.
    `clean` says that the bytes are exactly as this program writes them.
    """

    lines: dict[str, bytes] = field(default_factory=dict)
    doubtful: dict[str, dict[str, Any]] = field(default_factory=dict)
    lost: list[str] = field(default_factory=list)
    mended: int = 0
    doubled: int = 0
    twins: int = 0
    torn: bool = False
    cut: bool = False
    appended: int = 0
    reformatted: bool = False
    foreign: str = ""
    clean: bool = True

    def add(self, key: str, line: bytes) -> None:
        """Takes a sound line in. The same again counts as doubled; the same id with other content is kept as a twin."""
        known = self.lines.get(key)
        if known is None:
            self.lines[key] = line
            return
        if known == line:
            self.doubled += 1
            return
        doc = doc_of(line)
        other = twin_key(record_id(key), doc)
        self.twins += other not in self.lines
        self.lines.setdefault(other, encode(other, doc))


def survey(raw: bytes) -> Survey:
    """Reads the bytes of a data file. Never raises: what cannot be read is told in the answer."""
    found = _exact(raw)
    return _damaged(raw) if found is None else found


def _exact(raw: bytes) -> Survey | None:
    # The common case, kept lean: one pass, a check sum a line, no JSON read, no second copy of the bytes.
    if not (raw.startswith(HEAD) and raw.endswith(b"\n" + TAIL)):
        return None
    rows = raw.split(b"\n,")
    rows[0] = rows[0][len(HEAD) :]
    rows[-1] = rows[-1][: -len(TAIL)]
    if rows == [b""]:
        return Survey()
    rows[-1] = rows[-1][:-1]
    lines: dict[str, bytes] = {}
    for line in rows:
        if line[-18:] != b',"crc":"%08x"}' % crc32(line[:-18]) or line[:1] != b'"':
            return None
        lines[line[1 : line.index(b'"', 1)].decode()] = line
    return Survey(lines) if len(lines) == len(rows) else None


@dataclass
class _Run:
    """Neighbouring rows that are no sound lines."""

    number: int
    rows: list[bytes]

    @property
    def bytes(self) -> bytes:
        return b"\n".join(self.rows)


def _damaged(raw: bytes) -> Survey:
    found = Survey(clean=False)
    raw, found.reformatted = as_written(raw)
    runs, last_good = _sorted_out(raw, found)
    reread = Rereader()
    unread = [run for run in runs if _take(found, run, reread)]
    found.doubtful = {key: doc for key, doc in found.doubtful.items() if key not in found.lines}
    _judge_end(raw, found, unread, last_good)
    if not found.lines and not found.doubtful and not _begins_like_ours(raw) and not SEALED.search(raw):
        found.foreign, found.lost = _what_it_is(raw), []
    return found


def as_written(raw: bytes) -> tuple[bytes, bool]:
    """The bytes without what other programs do to a text: UTF-16, a mark at its start, line ends of Windows.

    A line of this program holds no carriage return, so taking them out changes no record.
    """
    plain = raw
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff"):
        plain = raw.decode("utf-16", "replace").encode("utf-8", "replace")
    elif _every_other(raw, zero=1):
        plain = raw.decode("utf-16-le", "replace").encode("utf-8", "replace")
    elif _every_other(raw, zero=0):
        plain = raw.decode("utf-16-be", "replace").encode("utf-8", "replace")
    plain = plain.removeprefix(b"\xef\xbb\xbf").replace(b"\r\n", b"\n")
    return plain, plain != raw


def _every_other(raw: bytes, zero: int) -> bool:
    start = raw[:64]
    return len(start) == 64 and not start[zero::2].strip(b"\0") and b"\0" not in start[1 - zero :: 2]


def _sorted_out(raw: bytes, found: Survey) -> tuple[list[_Run], int]:
    """Takes every sound line in; the runs of other rows, and the number of the last sound row."""
    runs: list[_Run] = []
    last_good = 0
    for number, row in _rows(raw):
        line = row[1:] if row[:1] == b"," else row
        if line[-18:] == b',"crc":"%08x"}' % crc32(line[:-18]) and line[:1] == b'"':
            found.add(line[1 : line.index(b'"', 1)].decode("utf-8", "replace"), line)
            last_good = number
        elif runs and runs[-1].number + len(runs[-1].rows) == number:
            runs[-1].rows.append(row)
        else:
            runs.append(_Run(number, [row]))
    return runs, last_good


def _rows(raw: bytes) -> list[tuple[int, bytes]]:
    # The rows that should hold records, with their numbers in the file. One flipped bit in the frame is no row.
    if _one_bit(raw[: len(HEAD)], HEAD):
        raw = HEAD + raw[len(HEAD) :]
    if _one_bit(raw[-len(TAIL) :], TAIL):
        raw = raw[: -len(TAIL)] + TAIL
    return [(n, row) for n, row in enumerate(raw.split(b"\n"), 1) if row not in (b"", HEAD[:-1], TAIL[:-1])]


def _one_bit(one: bytes, two: bytes) -> bool:
    return len(one) == len(two) and (int.from_bytes(one) ^ int.from_bytes(two)).bit_count() == 1


def _take(found: Survey, run: _Run, reread: Rereader) -> bool:
    """Whether something in this run stays unreadable."""
    lines, mended, left = recover(run.bytes)
    found.mended += mended
    if left:
        again = reread.read(left)
        lines, left = lines + again.lines, again.rest.encode("utf-8", "replace")
        found.reformatted |= bool(again.lines)
        found.doubtful |= again.doubtful
        found.lost += [_altered(run, key) for key in again.altered]
    for line in lines:
        found.add(key_of(line), line)
    if left:
        found.lost.append(_words(run.number, left))
    return bool(left)


def _judge_end(raw: bytes, found: Survey, unread: list[_Run], last_good: int) -> None:
    """Whether the end is missing, and whether a power cut in the middle of a write can have left it so."""
    whole = raw.endswith(TAIL) or _one_bit(raw[-len(TAIL) :], TAIL) or bool(BLANKS_BEHIND.search(raw[-MOST_BATCH:]))
    at_end = all(run.number > last_good for run in unread)
    left = b"\n".join(run.bytes for run in unread)
    found.cut = not whole and not _is_json(raw)
    if whole or not at_end or found.reformatted or not raw.startswith(HEAD[:1]):
        return
    if left.strip(b"\0},\n") and unread and not OURS.search(left) and not HEAD.startswith(raw):
        found.appended, found.lost = len(left), []
        found.cut = found.cut and not _after_the_end(raw, left)
    found.torn = len(raw) >= len(HEAD) and _begins_like_ours(raw) and len(left) <= MOST_BATCH and not found.appended


def _is_json(raw: bytes) -> bool:
    try:
        orjson.loads(raw)
    except ValueError:
        return False
    return True


def _begins_like_ours(raw: bytes) -> bool:
    start = raw[: len(HEAD)]
    return bool(start) and (HEAD.startswith(start) or _one_bit(start, HEAD))


def _after_the_end(raw: bytes, left: bytes) -> bool:
    return b"\n" + TAIL in raw[: len(raw) - len(left)] or raw.startswith(HEAD + TAIL)


def _what_it_is(raw: bytes) -> str:
    if not raw:
        return "empty"
    return "zeros" if not raw.strip(b"\0") else "other"


def _altered(run: _Run, key: str) -> str:
    return (
        _words(run.number, run.bytes)
        if len(run.rows) == 1
        else _("the record {key} (changed since it was written)", key=key[:40])
    )


def _words(number: int, left: bytes) -> str:
    hints: dict[int, str] = {}
    for match in HINT.finditer(left[:4096]):
        index = match.lastindex or 0
        hints.setdefault(index, match.group(index).decode())
    what, kind = _("line {number}", number=number), f", “{hints[1]}”" if 1 in hints else ""
    if 2 in hints and 3 in hints:
        return _(
            "{line} (it seems to be number {n} of {device}{kind})", line=what, n=hints[3], device=hints[2], kind=kind
        )
    if not left.strip(b"\0"):
        return _("{line} (only zeros)", line=what)
    return what
