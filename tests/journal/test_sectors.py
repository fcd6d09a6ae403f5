"""Power cuts at the level of sectors: what a disk has after a cut is any subset of the sectors since the last sync."""

import itertools
import random
import threading
from pathlib import Path

import pytest
from tinydb.table import Document

from bench.journal.disk import Disk, put
from bench.journal.lines import TAIL, body_of, encode, render
from bench.journal.survey import survey
from bench.journal.table import RecordBase
from bench.journal.trouble import NotKept

SECTOR = 512
Step = tuple[str, int, bytes]


def test_a_torn_append_never_reaches_a_confirmed_record_at_any_alignment() -> None:
    new = encode("C", {"v": 3, "n": "y" * 700})
    for pad in range(SECTOR):
        confirmed = [encode("A", {"t": "x" * pad, "v": 1}), encode("B", {"v": 2})]
        old = render(confirmed)
        after = old[: -len(TAIL)] + body_of([new], first=False) + TAIL
        assert after == render([*confirmed, new])
        first = next(n for n in range(len(old)) if old[n] != after[n]) // SECTOR
        last = (len(after) - 1) // SECTOR
        for kept in itertools.product((0, 1), repeat=last - first + 1):
            for size in {len(old), len(after), (first + 1) * SECTOR, (first + 2) * SECTOR}:
                if len(old) <= size <= len(after):
                    lines = survey(cut_image(old, after, size, first, kept)).lines
                    assert [lines["A"], lines["B"]] == confirmed and set(lines.values()) <= {*confirmed, new}


def cut_image(old: bytes, after: bytes, size: int, first: int, kept: tuple[int, ...]) -> bytes:
    image = bytearray(old + bytes(size - len(old)))
    for number, keep in enumerate(kept, first):
        if keep:
            start, end = number * SECTOR, min((number + 1) * SECTOR, size)
            image[start:end] = after[start:end]
    return bytes(image)


class Recorder:
    """A disk that notes each step it was asked for; `refuse` is how often it is full in the middle of a write."""

    def __init__(self, rng: random.Random, refuse: float, syncs: bool = True) -> None:
        self.rng, self.refuse, self.syncs = rng, refuse, syncs
        self.steps: list[Step] = []
        self.lines: set[bytes] = set()

    def disk(self) -> Disk:
        return Disk(self._put, self._sync, self._cut)

    def _put(self, fd: int, data: bytes, at: int) -> int:
        full = data != TAIL and self.rng.random() < self.refuse
        short = full or self.rng.random() < 0.05
        piece = data[: self.rng.randrange(1, len(data) + 1)] if short else data
        self.steps.append(("put", at, piece))
        put(fd, piece, at)
        if full:
            raise OSError(28, "No space left on device")
        return len(piece)

    def _sync(self, fd: int) -> None:
        if self.syncs:
            self.steps.append(("sync", 0, b""))

    def _cut(self, fd: int, size: int) -> None:
        self.steps.append(("cut", size, b""))


def record(path: Path, recorder: Recorder, count: int, threads: int) -> bytes:
    base = RecordBase(path, disk=recorder.disk())
    start = path.read_bytes()

    def work(first: int) -> None:
        for n in range(first, count, threads):
            key, doc = f"E{n:05d}", {"n": n, "text": "z" * (n * 37 % 400)}
            recorder.lines.add(encode(key, doc))
            try:
                base.insert(Document(doc, doc_id=key))
            except NotKept:
                continue
            recorder.steps.append(("confirmed", 0, key.encode()))

    workers = [threading.Thread(target=work, args=(n,)) for n in range(threads)]
    [worker.start() for worker in workers]
    [worker.join() for worker in workers]
    base.close()
    return start


def apply(image: bytearray, step: Step) -> None:
    kind, at, data = step
    if kind == "put":
        image.extend(bytes(max(0, at - len(image))))
        image[at : at + len(data)] = data
    elif kind == "cut":
        del image[at:]


def power_cut(start: bytes, steps: list[Step], at: int, rng: random.Random) -> bytes:
    """What the disk may hold after a cut before step `at`: all up to the last sync, any sectors of what followed."""
    last = max((n for n in range(at) if steps[n][0] == "sync"), default=-1)
    synced = bytearray(start)
    for step in steps[: last + 1]:
        apply(synced, step)
    written = bytearray(synced)
    for step in steps[last + 1 : at]:
        apply(written, step)
    low, high = sorted((len(synced), len(written)))
    size = rng.choice([low, high, rng.randint(low, high)])
    image = synced[:size] + bytes(max(0, size - len(synced)))
    how, stop = rng.choice(["any", "front", "all", "none"]), rng.randrange(size + 1)
    for place in range(0, size, SECTOR):
        if how == "all" or (how == "any" and rng.random() < 0.5) or (how == "front" and place < stop):
            end = min(place + SECTOR, size, len(written))
            image[place : max(place, end)] = written[place : max(place, end)]
    return bytes(image)


def lost_in_cuts(path: Path, recorder: Recorder, count: int, threads: int, cuts: int) -> int:
    """How many confirmed records were missing over many cuts; asserts that nothing else is ever shown."""
    start = record(path, recorder, count, threads)
    rng, lost = random.Random(count), 0
    for _ in range(cuts):
        at = rng.randrange(1, len(recorder.steps) + 1)
        confirmed = {data.decode() for kind, _, data in recorder.steps[:at] if kind == "confirmed"}
        found = survey(power_cut(start, recorder.steps, at, rng))
        assert set(found.lines.values()) <= recorder.lines
        lost += len(confirmed - set(found.lines))
    return lost


@pytest.mark.parametrize(("count", "threads", "refuse"), [(60, 1, 0.0), (150, 6, 0.0), (120, 4, 0.15)])
def test_power_cuts_lose_nothing_that_was_confirmed(tmp_path: Path, count: int, threads: int, refuse: float) -> None:
    recorder = Recorder(random.Random(count), refuse)
    assert lost_in_cuts(tmp_path / "saggar.json", recorder, count, threads, 500) == 0


def test_without_the_sync_the_same_cuts_do_lose_records(tmp_path: Path) -> None:
    # The control: a harness in which nothing can be lost would prove nothing.
    recorder = Recorder(random.Random(1), 0.0, syncs=False)
    assert lost_in_cuts(tmp_path / "saggar.json", recorder, 60, 1, 100) > 0
