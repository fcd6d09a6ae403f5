"""What befalls an open data file while eight threads write: a disk that confirms nothing, and other programs.

Each round has a past (records that were kept and backed up before), a present (records acknowledged while the harm is
done) and a future: the folder is opened again as a user would, what it asks for is answered, and everything that was
ever acknowledged is looked for. What is not there must at least have been told.
"""

import errno
import json
import os
import tempfile
import threading
from collections.abc import Callable
from dataclasses import dataclass, fields
from pathlib import Path
from random import Random

from bench.journal import Journal, NotKept
from bench.journal.damage import POWER_CUT
from bench.journal.disk import Disk, full_sync
from bench.journal.lines import HEAD, TAIL
from bench.journal.verify import verify
from tests.measure.hand import START_MS, HandClock, assay, open_journal, ulid

JAR = ulid(9_000_000)
WRITERS, PAST, FIRST = 8, 30, 1_000
MOST = 40
"""So many records at most each writer keeps in a round."""


@dataclass
class Found:
    """What was found after some rounds."""

    rounds: int = 0
    acknowledged: int = 0
    lost: int = 0
    wrong: int = 0
    doubled: int = 0
    reassured: int = 0
    unsound: int = 0
    asked: int = 0
    silent: int = 0

    def add(self, other: "Found") -> None:
        """Sums both up."""
        for field in fields(self):
            setattr(self, field.name, getattr(self, field.name) + getattr(other, field.name))


def replaced(file: Path, draw: Random) -> None:
    """A sync client or an editor that saves by renaming puts another file in its place."""
    beside = file.with_name("other")
    beside.write_bytes(_older(file.read_bytes(), draw))
    beside.replace(file)


def renamed(file: Path, draw: Random) -> None:
    """Somebody moves it away."""
    file.rename(file.with_name("moved-away"))


def deleted(file: Path, draw: Random) -> None:
    """Somebody deletes it."""
    file.unlink()


def truncated(file: Path, draw: Random) -> None:
    """Something cuts it short."""
    os.truncate(file, draw.randrange(file.stat().st_size))


def restored(file: Path, draw: Random) -> None:
    """Somebody copies an older one over it."""
    older = _older(file.read_bytes(), draw)
    with file.open("r+b") as open_file:
        open_file.write(older)
        open_file.truncate(len(older))


def unconfirmed(file: Path, draw: Random) -> None:
    """Nothing is done to it: the disk itself confirms no write any more."""


HARMS: tuple[Callable[[Path, Random], None], ...] = (unconfirmed, replaced, renamed, deleted, truncated, restored)


def _older(raw: bytes, draw: Random) -> bytes:
    lines = raw[len(HEAD) :].split(b"\n,")
    kept = b"\n,".join(lines[: draw.randrange(1, max(2, len(lines) - 1))])
    return HEAD + kept.rstrip(b"}\n") + b"}\n" + TAIL


def harmed(rounds: int, seed: int) -> dict[str, Found]:
    """So many rounds, each harm in turn; what was found, by the harm."""
    found = {harm.__name__: Found() for harm in HARMS}
    for number in range(rounds):
        harm, draw = HARMS[number % len(HARMS)], Random(seed * 100_000 + number)
        with tempfile.TemporaryDirectory(prefix="saggar-harm-", ignore_cleanup_errors=True) as root:
            found[harm.__name__].add(_round(Path(root), harm, draw))
    return found


def _round(folder: Path, harm: Callable[[Path, Random], None], draw: Random) -> Found:
    kept = set(range(PAST))
    with open_journal(folder, HandClock()) as journal:
        for number in kept:
            journal.write("jar.assayed", JAR, assay(number), id=ulid(number))
        journal.backup()
    failing = threading.Event()

    def sync(fd: int) -> None:
        if failing.is_set():
            raise OSError(errno.EIO, "Input/output error")
        full_sync(fd)

    disk = Disk(sync=sync)
    with open_journal(folder, HandClock(START_MS + 86_400_000), disk) as journal:
        now, refused = _while_writing(journal, lambda: _harm(folder, harm, draw, failing), draw.randrange(1, 60))
    failing.clear()
    return _looked(folder, kept | now, refused)


def _harm(folder: Path, harm: Callable[[Path, Random], None], draw: Random, failing: threading.Event) -> None:
    if harm is unconfirmed:
        failing.set()
    harm(folder / "saggar.json", draw)


def _while_writing(journal: Journal, harm: Callable[[], None], after: int) -> tuple[set[int], list[str]]:
    """The numbers that were acknowledged by eight threads, the harm being done after some; and the refusals."""
    kept: set[int] = set()
    refused: list[str] = []
    reached = threading.Event()

    def work(first: int) -> None:
        for number in range(first, first + MOST * WRITERS, WRITERS):
            try:
                journal.write("jar.assayed", JAR, assay(number), id=ulid(number))
            except NotKept as trouble:
                refused.append(trouble.say)
                return
            kept.add(number)
            if len(kept) >= after:
                reached.set()

    threads = [threading.Thread(target=work, args=(FIRST + n,)) for n in range(WRITERS)]
    for thread in threads:
        thread.start()
    reached.wait(60)
    harm()
    for thread in threads:
        thread.join(60)
    return kept, refused


def _looked(folder: Path, kept: set[int], refused: list[str]) -> Found:
    found = Found(rounds=1, acknowledged=len(kept))
    found.silent = sum("Close the bench and open it again" not in say for say in refused)
    with open_journal(folder, HandClock(START_MS + 2 * 86_400_000)) as journal:
        missing = _missing(journal, kept)
        question, told = journal.safe.shortfall, " ".join(journal.report)
        found.reassured = int(bool(missing) and (POWER_CUT in told or question is None))
        for _ in range(3):
            if question is None or not question.offers:
                break
            found.asked = 1
            journal.safe.take_in(question.offers[0].path)
            question = journal.safe.shortfall
        found.lost = len(_missing(journal, kept))
        there = journal.by("kind", "jar.assayed")
        found.wrong = sum(ulid(int(r.data["before_g"])) != r.id for r in there) + len(journal.conflicts)
    raw = json.loads((folder / "saggar.json").read_bytes())["records"]
    found.doubled = len(raw) - len(there)
    found.unsound = int(not verify(folder).sound)
    return found


def _missing(journal: Journal, kept: set[int]) -> set[int]:
    there = {record.id for record in journal.by("kind", "jar.assayed")}
    return {number for number in kept if ulid(number) not in there}
