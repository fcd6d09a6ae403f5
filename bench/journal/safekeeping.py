"""Looks after the copies of an open data file: when one is made, what is asked when something is missing."""

import logging
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from pathlib import Path
from threading import RLock

from bench.journal.backups import LEFT, Backups, Ground, Offer, has_room
from bench.journal.damage import Gone, gaps_of
from bench.journal.disk import free_name, replace_file, set_aside
from bench.journal.marks import (
    forget_second,
    gone_on_without,
    missing_marks,
    note_closed,
    note_missing,
    note_second,
    note_without,
    of_others,
    second_note,
)
from bench.journal.previewing import Preview, preview
from bench.journal.receipts import Merged
from bench.journal.refilling import DOUBTFUL
from bench.journal.restoring import order_restore, ordered_restore
from bench.journal.shortfall import Shortfall, look
from bench.journal.snapshot import SNAPSHOT, rules_digest
from bench.journal.storage import AppendStorage
from bench.journal.trouble import Unusable
from bench.records.moments import utc_text
from bench.translation import _

log = logging.getLogger("bench")
MANY_NEW, HOUR_MS, MOST_BEFORE, LARGE = 200, 3_600_000, 10, 32 << 20
BEFORE = ".before"
"""The ending of a copy that was made before something was taken in or put back; it undoes that."""


class Safekeeping:
    """The backups of one open data file, and the question about what it lacks. Safe to use from many threads.

    `second` answers the maker's second folder, `merge` takes a file in. `sums` are those of the file's first blocks,
    where they are known already.
    """

    def __init__(
        self,
        folder: Path,
        storage: AppendStorage,
        now_ms: Callable[[], int],
        second: Callable[[], str | None],
        merge: Callable[[Path], Merged],
        sums: Iterable[int] = (),
    ) -> None:
        self.folder, self._storage, self._now_ms, self._merge = folder, storage, now_ms, merge
        self.backups = Backups(folder / "backups")
        self._second = second
        self._ground = Ground(storage.path, storage.lines.places, sums)
        self._turn = RLock()
        self._made_ms: int | None = None
        self._looked: tuple[int, str, bool] | None = None
        self._shortfall: Shortfall | None = None
        self._second_was_there = False
        self.trouble: str | None = None

    # What is missing --------------------------------------------------------------------------------------------

    @property
    def shortfall(self) -> Shortfall | None:
        """The question that is open; None where nothing is missing."""
        return self._shortfall

    def look(self, new: bool = False) -> None:
        """Asks anew what is missing. `new`: there was no data file."""
        copies = self._second_copies()
        with self._turn:
            marks, highs = missing_marks(self.folder), self._storage.counts.highs
            lacking = [Gone(name, highs.get(name, 0) + 1, to) for name, to in marks.items() if to > highs.get(name, 0)]
            if marks and not lacking:
                note_missing(self.folder, {})
            before = self._shortfall is not None and self._shortfall.new
            self._shortfall = look(self.backups, self._ground, lacking, new or before, copies, self._gaps())
            if self._shortfall is not None:
                log.warning("records are missing; backups that hold more: %d", len(self._shortfall.offers))

    def _gaps(self) -> list[Gone]:
        counts, folder = self._storage.counts, self.folder
        return [] if of_others(folder) else gaps_of(counts, gone_on_without(folder))

    def take_in(self, path: Path) -> Merged:
        """Takes in what a file holds; what the bench held before is kept aside. Unusable, NotKept as a merge."""
        self.set_aside()
        merged = self._merge(path)
        log.info("taken in: %d new, %d disagree, %d refused", merged.new, merged.conflicts, len(merged.refused))
        if path.suffix == DOUBTFUL and path.parent == self.backups.folder:
            path.replace(path.with_suffix(".taken"))
        self.look()
        return merged

    def go_on_without(self) -> None:
        """Settles the question: what is missing stays away. Its backups are kept in a folder of their own."""
        with self._turn:
            self.backups.leave(self._ground)
            for path in self.backups.folder.glob(f"*{DOUBTFUL}"):
                left = self.backups.folder / LEFT
                left.mkdir(mode=0o700, exist_ok=True)
                path.replace(free_name(left, path.stem, DOUBTFUL))
            note_missing(self.folder, {})
            note_without(self.folder, gaps_of(self._storage.counts))
            forget_second(self.folder)
            note_closed(self.folder, self._storage.counts.highs)
            with suppress(OSError):  # it may know of what is now left, and can be made anew at any time
                (self.folder / SNAPSHOT).unlink(missing_ok=True)
            self._shortfall = None

    def set_aside(self) -> Path | None:
        """Keeps the data file as it is now beside the backups; None where it holds nothing. Unusable without room."""
        if not len(self._storage.lines):
            return None
        try:
            whole = b"".join(self._storage.copy())
            kept = set_aside(whole, self.backups.folder, f"saggar-{self._stamp()}", BEFORE)
        except OSError as error:
            raise Unusable(
                _("Nothing was changed: no copy could be made first ({strerror}).", strerror=error.strerror)
            ) from error
        self._drop_old_ones(kept)
        return kept

    def _drop_old_ones(self, kept: Path) -> None:
        """Of copies that hold nothing which the data file does not, a few are enough."""
        older = [path for path in sorted(self.backups.folder.glob(f"*{BEFORE}")) if path != kept]
        spare = [path for path in older if self.backups.gains(path, self._ground) == 0]
        for path in spare[: max(0, len(spare) + 1 - MOST_BEFORE)]:
            with suppress(OSError):
                path.unlink()

    # Backups ----------------------------------------------------------------------------------------------------

    def opened(self) -> None:
        """The backup of an opening: one a day, and one more before another program than the last writes anything.

        That of a large file takes seconds: it is left to `tend`, which is called as soon as the bench is open.
        """
        with self._turn:
            other = self._other_program()
            due = self._storage.end < LARGE and not self.backups.has(self._day(), self._ground)
            if self._new() > 0 and (other or due):
                self._keep_own()
            self._note_program()

    def tend(self, closing: bool = False) -> None:
        """Makes the backups that are due now: to be called every minute, and on closing."""
        second = self._folder_of_second()  # reads the state: never while `_turn` is held, which a request may wait for
        if (second is not None) != self._second_was_there:
            self.look()  # a stick that was put in may hold what the file does not
        with self._turn:
            seen = (len(self._storage.lines), self._day(), second is not None)
            if seen == self._looked and not closing:
                return
            if self._due(closing):
                self._keep_own()
            if second is not None:
                if self._new(second) > 0:
                    self._keep(second)
                self._note_own(second)
            self._looked = seen if self.trouble is None and self._new() == 0 else None

    def backup(self, folder: Path | None = None) -> Path:
        """A backup now, in the bench's own folder or another one. OSError when the disk refuses."""
        with self._turn:
            kept = self._keep_in(Backups(folder) if folder else self.backups)
            self._made_ms = self._now_ms()
            return kept

    def all_files(self) -> Iterator[Path]:
        """Every copy that lies beside the data file, in the second folder and among those left, the fullest first."""
        for one in self._all():
            yield from one.files()
            yield from Backups(one.folder / LEFT).files()
        for ending in (BEFORE, DOUBTFUL, ".damaged", ".held"):
            yield from sorted(self.backups.folder.glob(f"*{ending}"), reverse=True)

    def preview(self, path: Path) -> Preview:
        """What taking in a file would bring. Unusable when it cannot be read or is something else."""
        return preview(path, self._storage.lines)

    def order_restore(self, path: Path | None) -> None:
        """The next opening goes back to this copy; None: it does not. OSError when the disk refuses."""
        order_restore(self.folder, path)

    @property
    def ordered(self) -> Path | None:
        """What the next opening will go back to."""
        return ordered_restore(self.folder)

    def offer(self, path: Path) -> Offer | None:
        """What a file would bring; None where the data file holds all of it."""
        return self.backups.offer(path, self._ground)

    def second_folder(self) -> tuple[str, bool, int]:
        """The second folder as set, whether it is there, and how many records its fullest backup of this file holds."""
        second = self._folder_of_second()
        newest = second.newest(self._ground) if second is not None else None
        return (self._second() or "", second is not None, newest.records if newest else 0)

    def _due(self, closing: bool) -> bool:
        new, now = self._new(), self._now_ms()
        if new <= 0:
            return False
        if closing or not self.backups.has(self._day(), self._ground):
            return True
        waited = self._made_ms is None or abs(now - self._made_ms) >= HOUR_MS
        return new >= MANY_NEW and waited

    def _keep_own(self) -> None:
        self._keep(self.backups)
        self._made_ms = self._now_ms()

    def _keep(self, backups: Backups) -> None:
        try:
            self._keep_in(backups)
            self.trouble = None
            log.info("backup made of %d records", len(self._storage.lines))
        except OSError as error:
            self.trouble = _("Today's backup could not be made: {value}.", value=error.strerror or error)
            log.warning("no backup could be made", exc_info=error)
        except Unusable as trouble:
            self.trouble = trouble.say
            log.warning("no backup was made for want of room")

    def _keep_in(self, backups: Backups) -> Path:
        size = self._storage.end
        if not has_room(backups.folder if backups.folder.is_dir() else self.folder, size):
            mb = max(1, 2 * size // 1_000_000)
            raise Unusable(_("No backup was made: the disk needs {mb:,} MB free for one. Free some space.", mb=mb))
        return backups.keep(self._storage.copy(), self._day(), self._ground, len(self._storage.lines))

    def _new(self, backups: Backups | None = None) -> int:
        """How many records no backup of this file holds."""
        newest = (backups or self.backups).newest(self._ground)
        return len(self._storage.lines) - (newest.records if newest else 0)

    def _all(self) -> list[Backups]:
        second = self._folder_of_second()
        return [self.backups] + ([second] if second is not None else [])

    def _second_copies(self) -> list[Path]:
        """The backups that this bench put into the second folder, as far as that is there now."""
        second, names = second_note(self.folder)
        self._second_was_there = second is not None and second.is_dir()
        return [second / name for name in names if (second / name).is_file()] if second is not None else []

    def _note_own(self, second: Backups) -> None:
        """Notes which backups there are of this file, beside those that were: another bench may keep its own there."""
        noted, names = second_note(self.folder)
        known = names if noted == second.folder else []
        seen = {path.name: self._ground.begins_with(second.holding(path).covered) for path in second.files()}
        own = sorted(name for name, begins in seen.items() if begins or name in known)
        if own:
            note_second(self.folder, second.folder, own)

    def _folder_of_second(self) -> Backups | None:
        named = self._second()
        if named is None:  # the setting goes away with the file
            noted = second_note(self.folder)[0]
            named = str(noted) if noted is not None else None
        folder = Path(named).expanduser() if named else None
        return Backups(folder) if folder is not None and folder.is_absolute() and folder.is_dir() else None

    def _other_program(self) -> bool:
        try:
            return self._program_note().read_text("ascii").strip() != rules_digest()
        except (OSError, ValueError):
            return False

    def _note_program(self) -> None:
        rules = rules_digest()
        if rules is not None and (self._other_program() or not self._program_note().exists()):
            with suppress(OSError):
                self._program_note().parent.mkdir(mode=0o700, parents=True, exist_ok=True)
                replace_file(self._program_note(), f"{rules}\n".encode())

    def _program_note(self) -> Path:
        return self.folder / "keys" / "program.txt"

    def _day(self) -> str:
        return utc_text(self._now_ms())[:10]

    def _stamp(self) -> str:
        return utc_text(self._now_ms())[:19].replace(":", "")
