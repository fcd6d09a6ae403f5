"""Reading the data file from end to end in little memory: every check sum compared, every line's place noted."""

from bisect import bisect_right
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import BinaryIO
from zlib import crc32

from bench.journal.envelopes import FRONT, read_line
from bench.journal.hlc import Mark
from bench.journal.lines import HEAD, TAIL
from bench.journal.places import Gathering, Layers

BLOCK = 4 << 20
Gap = tuple[int, int]
"""The first and the last of some numbers that no record has, though the device counted on behind them."""
Heard = Callable[[str, int, int], None]
"""Told how far the opening has come: `checked`, bytes of how many; then `read`, records of how many."""


def unheard(what: str, done: int, of: int) -> None:
    """Nobody waits for it."""


class Counts:
    """How far each device has counted, the order mark that stands with its highest number, and the gaps below it."""

    def __init__(self) -> None:
        self.highs: dict[str, int] = {}
        self.marks: dict[str, Mark] = {}
        self.gaps: dict[str, list[Gap]] = {}

    def take(self, line: bytes) -> None:
        """Looks at the next line of the file, no further than it needs. One that holds no record is passed over."""
        front = FRONT.match(line)
        if front is not None:
            device, seq, ms, counter = front[1].decode(), int(front[2]), int(front[3]), int(front[4])
        else:
            try:
                record = read_line("", line)
            except ValueError:
                return
            device, seq, (ms, counter) = record.device, record.seq, record.hlc[:2]
        high = self.highs.get(device, 0)
        if seq > high + 1:
            self.gaps.setdefault(device, []).append((high + 1, seq - 1))
        elif seq < high and device in self.gaps:
            self._fill(device, seq)
        if seq >= max(high, 1):
            self.highs[device], self.marks[device] = seq, (ms, counter)

    def _fill(self, device: str, seq: int) -> None:
        gaps = self.gaps[device]
        at = bisect_right(gaps, seq, key=lambda gap: gap[0]) - 1
        if at >= 0 and seq <= gaps[at][1]:
            first, last = gaps[at]
            gaps[at : at + 1] = [gap for gap in ((first, seq - 1), (seq + 1, last)) if gap[0] <= gap[1]]


def block_sums(file: BinaryIO, first: int, end: int) -> Iterator[int]:
    """The check sums of a file's blocks up to the byte `end`, from the block numbered `first` on."""
    file.seek(first * BLOCK)
    at = first * BLOCK
    while at < end:
        data = file.read(min(BLOCK, end - at))
        if not data:
            return
        yield crc32(data)
        at += len(data)


def scan(path: Path, before: Layers, counts: Counts, heard: Heard = unheard) -> Layers | None:
    """Where every line of a file stands; None when it is not, byte for byte, as this program writes it.

    What `before` covers is taken as it is; lines behind it are checked one by one, and shown to `counts`.
    """
    gathering = Gathering(before)
    settled = len(before.settled.starts)
    with path.open("rb") as file:
        end = file.seek(0, 2) - len(TAIL)
        start = before.settled.end if settled else len(HEAD)
        file.seek(0)
        if end < start or file.read(len(HEAD)) != HEAD:
            return None
        file.seek(end)
        if file.read() != TAIL:
            return None
        if end > start and not _take_lines(file, (start, end), settled == 0, gathering, counts, heard):
            return None
    layers = gathering.gathered(end)
    return None if gathering.doubled else layers


def _take_lines(
    file: BinaryIO, span: tuple[int, int], first: bool, gathering: Gathering, counts: Counts, heard: Heard
) -> bool:
    start, end = span
    # Between two lines stand a newline and a comma. What is left of a block is the start of the next one's first line.
    file.seek(start - 1)
    if file.read(1) != b"\n" or (not first and file.read(1) != b","):
        return False
    at, ahead, rest = (start, start, b"") if first else (start + 1, start + 1, b"")
    while ahead < end:
        block = file.read(min(BLOCK, end - ahead))
        if not block:
            return False
        ahead += len(block)
        heard("checked", ahead - start, end - start)
        rows = (rest + block).split(b"\n,")
        rest = rows.pop()
        if ahead == end:
            if rest[-1:] != b"\n":
                return False
            rows.append(rest[:-1])
        taken = _checked(rows, at, counts)
        if taken is None:
            return False
        gathering.take(*taken)
        at += sum(map(len, rows)) + 2 * len(rows)
    return True


def _checked(rows: list[bytes], at: int, counts: Counts) -> tuple[list[bytes], list[int]] | None:
    keys: list[bytes] = []
    starts: list[int] = []
    take = counts.take
    for line in rows:
        if line[-18:] != b',"crc":"%08x"}' % crc32(line[:-18]) or line[:1] != b'"':
            return None
        keys.append(line[1 : line.index(b'"', 1)])
        starts.append(at)
        at += len(line) + 2
        take(line)
    return keys, starts
