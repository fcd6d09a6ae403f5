"""Kills a writing bench again and again: `python -m tests.measure.crash_kills FOLDER KILLS SEED`.

A child opens the folder and writes from several threads, as screens and as phones do, and tells each id over a pipe
once it was acknowledged. The parent kills it at a random moment, or right when it touches the disk, opens the folder as
a user would, and checks every id that was ever acknowledged. Prints one line of JSON with what it found.
"""

import json
import os
import random
import shutil
import signal
import sys
import threading
from pathlib import Path

from bench.clock import tick_s
from bench.journal import Journal
from bench.journal.disk import Disk, full_sync, put
from bench.journal.verify import devices_of, verify
from tests.measure.hand import START_MS, HandClock, assay, open_journal, phone_record, ulid

JAR = ulid(9_000_000)
THREADS = 8
FRESH_EVERY = 40
PER_KILL = 4_000


def child(folder: Path, first: int, pipe: int) -> None:
    """Writes without end from several threads, and tells of each touch of the disk and each acknowledged id."""

    def touching(fd: int, data: bytes, at: int) -> int:
        os.write(pipe, b"touch\n")
        return put(fd, data[:150], at)  # in pieces, as an operating system may, so that a kill can fall between them

    def syncing(fd: int) -> None:
        os.write(pipe, b"touch\n")
        full_sync(fd)

    journal = open_journal(folder, HandClock(START_MS + first * 1000), Disk(put=touching, sync=syncing))
    os.write(pipe, b"ready\n")

    def screen(start: int) -> None:
        for n in range(start, start + PER_KILL, THREADS):
            journal.write("jar.assayed", JAR, assay(n), id=ulid(n))
            os.write(pipe, b"%d\n" % n)

    def phone(start: int) -> None:
        for n in range(start, start + PER_KILL, THREADS):
            raw = phone_record(n, device=f"phone-{start}", seq=(n - start) // THREADS + 1)
            journal.receive([raw, raw])
            os.write(pipe, b"%d\n" % n)

    threads = [threading.Thread(target=(screen, phone)[k % 2], args=(first + k,), daemon=True) for k in range(THREADS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


def killed(folder: Path, first: int, rng: random.Random) -> set[int]:
    """Starts a child, kills it, and gives the numbers that it acknowledged before."""
    reading, writing = os.pipe()
    pid = os.fork()
    if pid == 0:
        os.close(reading)
        child(folder, first, writing)
        os._exit(1)
    os.close(writing)
    got = b""
    touches = rng.randrange(1, 25)
    while got.count(b"touch") < touches or b"ready" not in got:
        piece = os.read(reading, 65536)
        assert piece, got[-2000:]
        got += piece
    until = tick_s() + rng.random() * 0.006
    while tick_s() < until:
        pass
    os.kill(pid, signal.SIGKILL)
    while piece := os.read(reading, 65536):
        got += piece
    os.close(reading)
    os.waitpid(pid, 0)
    return {int(word) for word in got.split(b"\n") if word.isdigit()}


def examine(journal: Journal, acknowledged: set[int], found: dict[str, int]) -> None:
    """Counts what is wrong with a journal that was opened after a kill."""
    there = {record.id: record for record in journal.by("kind", "jar.assayed")}
    found["lost"] += sum(ulid(n) not in there for n in acknowledged)
    wrong = [r for r in there.values() if ulid(int(r.data["before_g"])) != r.id or r.data != assay(r.data["before_g"])]
    found["wrong"] += len(wrong) + len(journal.conflicts)
    raw = json.loads((journal.folder / "saggar.json").read_bytes())["records"]
    found["doubled"] += len(raw) - len(there)
    found["gaps"] += sum(bool(d.missing or d.twice) for d in devices_of(there.values()) if d.name.startswith("laptop"))
    found["unsound"] += not verify(journal.folder).sound
    found["untold"] += any("cut off" not in say and "kept as" not in say for say in journal.report)
    found["repaired"] += bool(journal.report)


def kill_often(folder: Path, kills: int, seed: int) -> dict[str, int]:
    """Kills a writing bench so often; gives what was acknowledged, lost, wrong, doubled and repaired."""
    rng = random.Random(seed)
    names = ("acknowledged", "lost", "wrong", "doubled", "gaps", "unsound", "untold", "repaired")
    found = dict.fromkeys(names, 0)
    acknowledged: set[int] = set()
    for kill in range(kills):
        if kill % FRESH_EVERY == 0:
            shutil.rmtree(folder, ignore_errors=True)
            acknowledged = set()
        got = killed(folder, 1 + kill % FRESH_EVERY * PER_KILL, rng)  # the folder is fresh, so are its numbers
        found["acknowledged"] += len(got)
        acknowledged |= got
        with open_journal(folder, HandClock(START_MS + kill * 100_000_000)) as journal:
            examine(journal, acknowledged, found)
    return found


if __name__ == "__main__":
    print(json.dumps(kill_often(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]))))
