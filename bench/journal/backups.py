"""Copies of the data file, judged by what they hold and never by a clock or a name.

A backup that holds something which the data file does not is never removed and never written over. Of the others the
fullest of 7 days, of 8 weeks and of each year are kept. Each new one is read back before it takes its place.
"""

import os
import re
import shutil
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import asdict, dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

import orjson

from bench.journal.disk import free_name, replace_file, sync_folder
from bench.journal.lines import HEAD, TAIL
from bench.journal.marks import highest
from bench.journal.places import Layers, Places, is_usual
from bench.journal.rights import private
from bench.journal.scanning import BLOCK, Counts, block_sums, scan
from bench.journal.survey import survey
from bench.translation import _

DAYS, WEEKS = 7, 8
SUFFIX = ".backup"
LEFT = "left"
"""The folder of backups that somebody chose to go on without."""
INDEX = "backups.index"
DAY = re.compile(r"-(\d{4}-\d{2}-\d{2})")
ROOM = 2
"""A backup is made where the disk has so many times its size free."""


@dataclass
class Holding:
    """What a backup holds, and up to where the data file was seen to begin with all of it."""

    size: int
    changed: int
    records: int
    highs: dict[str, int]
    newest_ms: int
    covered: list[Any] = field(default_factory=list)  # a byte of the data file, and the sums of its blocks up to there

    @property
    def fullness(self) -> tuple[int, int, int]:
        """What orders backups: how much they hold."""
        return (self.records, sum(self.highs.values()), self.newest_ms)


@dataclass(frozen=True)
class Offer:
    """A file that holds what the data file does not: `gains` of its records are not here."""

    path: Path
    records: int
    newest_ms: int
    gains: int
    highs: Mapping[str, int] = field(default_factory=dict)


class Ground:
    """The data file that backups are compared with: which keys it holds, and the sums of its blocks."""

    def __init__(self, path: Path, places: Places, sums: Iterable[int] = ()) -> None:
        self.path, self.places = path, places
        self._sums = list(sums)

    @property
    def end(self) -> int:
        """Behind the last line's newline."""
        count = len(self.places)
        return self.places.span(count - 1)[1] + 1 if count else len(HEAD)

    def sums(self, end: int) -> list[int]:
        """The sums of the blocks up to a byte. Whole blocks of a file that is only appended to are read once."""
        whole = end // BLOCK
        with self.path.open("rb") as file:
            self._sums += [*block_sums(file, len(self._sums), whole * BLOCK)]
            return [*self._sums[:whole], *block_sums(file, whole, end)]

    def begins_with(self, covered: list[Any]) -> bool:
        """Whether the file begins as it did when all of a backup was found in it."""
        if not covered or covered[0] > self.end:
            return False
        try:
            return bool(self.sums(covered[0]) == covered[1])
        except OSError:
            return False

    def lacks(self, keys: Iterable[str]) -> int:
        """How many of these keys are not in the file."""
        return sum(self.places.find(key) is None for key in keys)


class Backups:
    """The backups in one folder. With `reads_only` nothing is written there, not even the index."""

    def __init__(self, folder: Path, reads_only: bool = False) -> None:
        self.folder, self._reads_only = folder, reads_only
        self._index: dict[str, Holding] | None = None

    def files(self) -> list[Path]:
        """Every backup that can be told, the fullest first."""
        known = [(self.holding(path), path) for path in sorted(self.folder.glob(f"*{SUFFIX}"))]
        return [path for held, path in sorted(known, key=lambda pair: pair[0].fullness, reverse=True)]

    def highs(self) -> dict[str, int]:
        """The highest number of each device in any backup."""
        return highest(*(self.holding(path).highs for path in self.folder.glob(f"*{SUFFIX}")))

    def offers(self, ground: Ground) -> list[Offer]:
        """The backups that hold something which the data file does not, the fullest of it first."""
        found = [offer for path in self.files() if (offer := self.offer(path, ground)) is not None]
        self._keep_index()
        return sorted(found, key=lambda offer: (offer.gains, offer.records), reverse=True)

    def offer(self, path: Path, ground: Ground) -> Offer | None:
        """What a file would bring; None where the data file holds all of it."""
        gains, held = self.gains(path, ground), self.holding(path)
        return Offer(path, held.records, held.newest_ms, gains, held.highs) if gains else None

    def holding(self, path: Path) -> Holding:
        """What a backup holds, read again only when the file changed."""
        try:
            seen = path.stat()
            known = self._known().get(self._name(path))
            if known is None or (known.size, known.changed) != (seen.st_size, seen.st_mtime_ns):
                known = self._known()[self._name(path)] = _read(path, seen)[0]
        except OSError:
            return Holding(0, 0, 0, {}, 0)
        return known

    def _name(self, path: Path) -> str:
        """Under what a file stands in the index: two folders may hold copies of one name."""
        return path.name if path.parent == self.folder else str(path)

    def gains(self, path: Path, ground: Ground) -> int:
        """How many records a backup holds that the data file does not."""
        held = self.holding(path)
        if not held.records or ground.begins_with(held.covered):
            return 0
        try:
            gains = ground.lacks(_read(path, path.stat())[1])
        except OSError:
            return 0
        if not gains:
            held.covered = [ground.end, ground.sums(ground.end)]
        return gains

    def keep(self, pieces: Iterable[bytes], day: str, ground: Ground, at_least: int) -> Path:
        """Keeps the data file as the backup of a day (2026-11-25), and removes what is not needed any more.

        It is read back first, and must hold `at_least` so many records. It takes the place of the day's earlier one,
        unless that holds something else. OSError when it cannot be made.
        """
        self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        beside = self.folder / "backup.new"
        try:
            replace_file(beside, pieces)
            held, _lines = _read(beside, beside.stat())
            if held.records < at_least:
                raise OSError(None, _("the copy does not read back as it was written"))
            path = self._place(day, ground)
            beside.replace(path)
        except OSError:
            with suppress(OSError):
                beside.unlink(missing_ok=True)
            raise
        sync_folder(self.folder)
        end = path.stat().st_size - len(TAIL)
        held.covered = [end, ground.sums(end)]
        self._known()[path.name] = held
        self.rotate(ground)
        return path

    def has(self, day: str, ground: Ground) -> bool:
        """Whether there is a backup of that day, of this very data file."""
        return any(ground.begins_with(self.holding(p).covered) for p in self.folder.glob(f"*-{day}*{SUFFIX}"))

    def newest(self, ground: Ground) -> Holding | None:
        """The fullest backup of this very data file; None where there is none."""
        return next((self.holding(p) for p in self.files() if ground.begins_with(self.holding(p).covered)), None)

    def rotate(self, ground: Ground) -> None:
        """Removes what is not needed. A backup that cannot be removed stays, and so does one without a day."""
        dated = [(path, DAY.search(path.name)) for path in self.files() if self.gains(path, ground) == 0]
        days = [(path, _day(hit[1])) for path, hit in dated if hit]
        wanted = kept([day for _, day in days if day])
        for (path, day), keep in zip([pair for pair in days if pair[1]], wanted, strict=True):
            if not keep and day:
                with suppress(OSError):
                    path.unlink()
        self._keep_index()

    def leave(self, ground: Ground) -> list[Path]:
        """Moves every backup that holds something else out of the way, into a folder of its own, and tells where to."""
        moved = []
        for offer in self.offers(ground):
            place = self.folder / LEFT
            place.mkdir(mode=0o700, exist_ok=True)
            target = free_name(place, offer.path.stem, SUFFIX)
            offer.path.replace(target)
            moved.append(target)
        self._keep_index()
        return moved

    def _place(self, day: str, ground: Ground) -> Path:
        number = 1
        while True:
            path = self.folder / f"saggar-{day}{'' if number == 1 else f'-{number}'}{SUFFIX}"
            if not path.exists() or self.gains(path, ground) == 0:
                return path
            number += 1

    def _known(self) -> dict[str, Holding]:
        if self._index is None:
            self._index = {}
            with suppress(OSError, ValueError, TypeError, AttributeError):
                raw = orjson.loads((self.folder / INDEX).read_bytes())
                self._index = {name: Holding(**about) for name, about in raw.items()}
        return self._index

    def _keep_index(self) -> None:
        """The index spares reading backups again. It may be deleted at any time, so it is not synced."""
        here = {path.name for path in self.folder.glob(f"*{SUFFIX}")}
        if not here or self._reads_only:
            return
        beside = self.folder / f"{INDEX}.new"
        with suppress(OSError):
            with open(beside, "wb", opener=private) as file:
                file.write(orjson.dumps({n: asdict(h) for n, h in self._known().items() if n in here}))
            beside.replace(self.folder / INDEX)


def kept(days: list[date]) -> list[bool]:
    """Which of these backups to keep, the fullest first: of 7 days, of 8 weeks and of each year, one each."""
    seen: tuple[set[Any], set[Any], set[Any]] = (set(), set(), set())
    wanted = []
    for day in days:
        keys = (day, day.isocalendar()[:2], day.year)
        new = [key not in known and len(known) < most for key, known, most in zip(keys, seen, LIMITS, strict=True)]
        for known, key, is_new in zip(seen, keys, new, strict=True):
            known.update([key] if is_new else [])
        wanted.append(any(new))
    return wanted


LIMITS = (DAYS, WEEKS, 10_000)


def has_room(folder: Path, size: int) -> bool:
    """Whether the disk of a folder has twice the size of a backup free."""
    try:
        return shutil.disk_usage(folder).free >= ROOM * size
    except OSError:
        return True


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def _read(path: Path, seen: os.stat_result) -> tuple[Holding, list[str]]:
    """What a backup holds, and the keys of its records. A damaged one holds what can be read of it."""
    counts = Counts()
    layers = scan(path, Layers(), counts)
    if layers is not None:
        keys = [key.decode() for key in layers.settled.keys.tolist()] + [k for k in layers.fresh if not is_usual(k)]
    else:
        found = survey(path.read_bytes())
        keys = list(found.lines)
        counts = Counts()
        for line in found.lines.values():
            counts.take(line)
    newest = max((mark[0] for mark in counts.marks.values()), default=0)
    return Holding(seen.st_size, seen.st_mtime_ns, len(keys), counts.highs, newest), keys
