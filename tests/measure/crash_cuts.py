"""Power cuts at the level of sectors: what a disk has after a cut is any subset of the sectors since the last sync.

A `Recorder` stands in for the disk and notes each write, each sync and each confirmation. A cut then falls between any
two of these steps; of everything since the last sync, any sectors may have reached the disk, in any order.
"""

import os
import random
import threading
from dataclasses import dataclass
from pathlib import Path

from tinydb.table import Document

from bench.journal.disk import Disk, put
from bench.journal.lines import TAIL, encode
from bench.journal.survey import survey
from bench.journal.table import RecordBase
from bench.journal.trouble import NotKept

SECTOR = 512
Step = tuple[str, int, bytes]


class Recorder:
    """A disk that notes each step it was asked for; `refuse` is how often it is full in the middle of a write."""

    def __init__(self, rng: random.Random, refuse: float, syncs: bool = True) -> None:
        self.rng, self.refuse, self.syncs = rng, refuse, syncs
        self.steps: list[Step] = []
        self.lines: set[bytes] = set()

    def disk(self) -> Disk:
        """The disk to write on."""
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
        os.ftruncate(fd, size)  # else the bench finds its file changed, and takes nothing more


@dataclass
class Cuts:
    """What was found after many cuts: confirmations that should have held, those lost, records shown wrong or twice."""

    cuts: int = 0
    acks: int = 0
    lost: int = 0
    wrong: int = 0
    doubled: int = 0


def record(path: Path, recorder: Recorder, count: int, threads: int) -> bytes:
    """Writes `count` records from some threads through the recorder; gives the file as it was before."""
    base = RecordBase(path, disk=recorder.disk())
    start = path.read_bytes()

    def work(first: int) -> None:
        for n in range(first, count, threads):
            key, doc = f"E{n:05d}", {"n": n, "text": "z" * (n * 37 % 400)}
            recorder.lines.add(encode(key, doc))
            try:
                base.insert(Document(doc, doc_id=key))  # type: ignore[arg-type]  # ids are text here
            except NotKept:
                continue
            recorder.steps.append(("confirmed", 0, key.encode()))

    workers = [threading.Thread(target=work, args=(n,)) for n in range(threads)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    base.close()
    return start


def apply(image: bytearray, step: Step) -> None:
    """Carries one step out on an image of the file."""
    kind, at, data = step
    if kind == "put":
        image.extend(bytes(max(0, at - len(image))))
        image[at : at + len(data)] = data
    elif kind == "cut":
        del image[at:]


def power_cut(start: bytes, steps: list[Step], at: int, rng: random.Random, how: str = "") -> bytes:
    """What the disk may hold after a cut before step `at`: all up to the last sync, any sectors of what followed.

    `how` names which sectors: `all` that was written, `none`, those in `front` of a place, or `any`; drawn without it.
    """
    last = max((n for n in range(at) if steps[n][0] == "sync"), default=-1)
    synced = bytearray(start)
    for step in steps[: last + 1]:
        apply(synced, step)
    written = bytearray(synced)
    for step in steps[last + 1 : at]:
        apply(written, step)
    low, high = sorted((len(synced), len(written)))
    named = {"all": len(written), "none": len(synced)}
    size = named.get(how) or rng.choice([low, high, rng.randint(low, high)])
    image = synced[:size] + bytes(max(0, size - len(synced)))
    how, stop = how or rng.choice(["any", "front", "all", "none"]), rng.randrange(size + 1)
    for place in range(0, size, SECTOR):
        if how == "all" or (how == "any" and rng.random() < 0.5) or (how == "front" and place < stop):
            end = min(place + SECTOR, size, len(written))
            image[place : max(place, end)] = written[place : max(place, end)]
    return bytes(image)


def cut_often(path: Path, recorder: Recorder, count: int, threads: int, cuts: int) -> Cuts:
    """Writes once and cuts often; every confirmation before a cut must be there after it, and nothing else."""
    start = record(path, recorder, count, threads)
    rng, found = recorder.rng, Cuts(cuts)
    for _ in range(cuts):
        at = rng.randrange(1, len(recorder.steps) + 1)
        confirmed = {data.decode() for kind, _, data in recorder.steps[:at] if kind == "confirmed"}
        seen = survey(power_cut(start, recorder.steps, at, rng))
        found.acks += len(confirmed)
        found.lost += len(confirmed - set(seen.lines))
        found.wrong += len(set(seen.lines.values()) - recorder.lines)
        found.doubled += seen.twins
    return found
