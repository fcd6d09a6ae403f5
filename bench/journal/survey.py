"""Reading a data file's bytes: every good line, and what is wrong with the rest."""

import re
from dataclasses import dataclass, field
from typing import Any
from zlib import crc32

import orjson

from bench.journal.lines import HEAD, KEY, TABLE, TAIL, doc_of, encode, key_of, record_id, twin_key
from bench.journal.mending import recover

HINT = re.compile(rb'"kind":"([a-z.]{1,40})"|"device":"([A-Za-z0-9~._-]{1,64})"|"seq":(\d{1,15})')


@dataclass
class Survey:
    """What the bytes of a data file hold.

    `lines` maps each key to its line. `lost` has a few plain words on each stretch that could not be read. `torn` says
    that the unreadable part is only the end, as an interrupted write leaves it. `clean` says that the bytes are exactly
    as this program writes them.
    """

    lines: dict[str, bytes] = field(default_factory=dict)
    lost: list[str] = field(default_factory=list)
    mended: int = 0
    doubled: int = 0
    twins: int = 0
    torn: bool = False
    reformatted: bool = False
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


def _damaged(raw: bytes) -> Survey:
    found = Survey(clean=False)
    runs: list[tuple[int, list[bytes]]] = []
    last_good = 0
    for number, row in _rows(raw):
        line = row[1:] if row[:1] == b"," else row
        if line[-18:] == b',"crc":"%08x"}' % crc32(line[:-18]) and line[:1] == b'"':
            found.add(line[1 : line.index(b'"', 1)].decode(), line)
            last_good = number
        elif runs and runs[-1][0] + len(runs[-1][1]) == number:
            runs[-1][1].append(row)
        else:
            runs.append((number, [row]))
    unread = [number for number, run in runs if _take(found, b"\n".join(run), number)]
    found.torn = not raw.endswith(TAIL) and all(number > last_good for number in unread)
    if found.lost:
        _reformatted(raw, found)
    return found


def _rows(raw: bytes) -> list[tuple[int, bytes]]:
    # The rows that should hold records, with their numbers in the file. One flipped bit in the frame is no row.
    if _one_bit(raw[: len(HEAD)], HEAD):
        raw = HEAD + raw[len(HEAD) :]
    if _one_bit(raw[-len(TAIL) :], TAIL):
        raw = raw[: -len(TAIL)] + TAIL
    return [(n, row) for n, row in enumerate(raw.split(b"\n"), 1) if row not in (b"", HEAD[:-1], TAIL[:-1])]


def _one_bit(one: bytes, two: bytes) -> bool:
    return len(one) == len(two) and (int.from_bytes(one) ^ int.from_bytes(two)).bit_count() == 1


def _take(found: Survey, run: bytes, number: int) -> bool:
    # Whether something in this stretch stays unreadable.
    lines, mended, left = recover(run)
    for line in lines:
        found.add(key_of(line), line)
    found.mended += mended
    if left:
        found.lost.append(_words(number, left))
    return bool(left)


def _words(number: int, left: bytes) -> str:
    hints: dict[int, str] = {}
    for match in HINT.finditer(left[:4096]):
        index = match.lastindex or 0
        hints.setdefault(index, match.group(index).decode())
    what = f"line {number}"
    if 2 in hints and 3 in hints:
        what += f" (it seems to be number {hints[3]} of {hints[2]}{', “' + hints[1] + '”' if 1 in hints else ''})"
    elif not left.strip(b"\0"):
        what += " (only zeros)"
    return what


def _reformatted(raw: bytes, found: Survey) -> None:
    # An editor that wrote the file anew changes its lines, but not what the records say: their sums still fit.
    try:
        docs: Any = orjson.loads(raw.removeprefix(b"\xef\xbb\xbf"))[TABLE]
        pairs = list(docs.items())
    except (ValueError, KeyError, TypeError, AttributeError):
        return
    resealed = {key: _resealed(key, doc) for key, doc in pairs}
    gained = {key: line for key, line in resealed.items() if line is not None and key not in found.lines}
    if not gained:
        return
    for key, line in gained.items():
        found.add(key, line)
    found.lost = [f"the record {key[:40]} (changed since it was written)" for key in resealed if key not in found.lines]
    found.reformatted, found.torn = True, False


def _resealed(key: str, doc: Any) -> bytes | None:
    if not isinstance(doc, dict) or not KEY.fullmatch(key):
        return None
    crc = doc.pop("crc", None)
    try:
        line = encode(key, doc)
    except (ValueError, TypeError):
        return None
    return line if line[-10:-2].decode() == crc else None
