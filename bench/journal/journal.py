"""The journal: the one way to the data file, and to the state that its records fold to."""

import logging
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager
from pathlib import Path
from typing import Any, Literal

from bench.journal.backups import Backups
from bench.journal.clouds import cloud_warning
from bench.journal.damage import gone, records_in_words
from bench.journal.disk import REAL, Disk, set_aside
from bench.journal.envelopes import Timekeeper, new_id
from bench.journal.footing import HELD
from bench.journal.held import Held as HeldNames
from bench.journal.hlc import MOST_AHEAD_MS, HybridClock
from bench.journal.hub.borrowed import Borrowed
from bench.journal.hub.desk import HubDesk
from bench.journal.identity import Identity
from bench.journal.keeping import MUCH, KeptSnapshot
from bench.journal.lines import TABLE
from bench.journal.lock import FolderLock
from bench.journal.marks import highest, note_closed, note_missing, noted_marks
from bench.journal.merging import FILE, merge_into
from bench.journal.receipts import Conflict, Draft, Merged, Receipt, Sender
from bench.journal.restoring import restore_ordered
from bench.journal.rights import close_to_others
from bench.journal.safekeeping import Safekeeping
from bench.journal.scanning import Heard, unheard
from bench.journal.shared_folder import SharedFolder
from bench.journal.snapshot import SNAPSHOT
from bench.journal.syncing import Synced, Syncing
from bench.journal.table import RecordBase, RecordTable
from bench.journal.trouble import Trouble, Unusable
from bench.journal.turn import Turn
from bench.journal.view import MANY
from bench.journal.writing import Writer
from bench.records.moments import utc_text
from bench.records.record import Record
from bench.records.state import State
from bench.translation import _, kept

log = logging.getLogger("bench")


class Journal:
    """An open data folder. Safe to use from many threads; `close` it in the end.

    Reading: `with journal.reading() as state:` gives the folded state, up to date and standing still until the block
    ends, while other threads go on writing to the disk; what they write is folded when the block is left. A thread may
    write inside the block, so that a gate and the record that it lets through are one step. `state` without the block
    is for single threads.

    `report` holds sentences that a person should see: what was found damaged on opening, clocks, where the folder lies.
    """

    def __init__(
        self, folder: Path, lock: FolderLock, clock: Timekeeper, device: str, disk: Disk, heard: Heard = unheard
    ) -> None:
        self.folder, self._lock, self._clock, self._closed = folder, lock, clock, False
        self.backups, self.photos = folder / "backups", folder / "photos"
        close_to_others(folder)
        stamp = utc_text(clock.now_ms())[:19].replace(":", "")
        put_back = restore_ordered(folder, folder / FILE, stamp)
        snapshot = KeptSnapshot.read(folder / SNAPSHOT, folder / FILE)
        self._base = RecordBase(
            folder / FILE,
            disk=disk,
            aside=self.backups,
            stamp=stamp,
            before=snapshot.layers,
            counts=snapshot.counts,
            expected=self._expected,
            heard=heard,
        )
        storage = self._base.file
        self._report: list[str] = list(storage.report)
        self._snapshot = snapshot if storage.as_known else KeptSnapshot(folder / SNAPSHOT, folder / FILE)
        self._view = self._snapshot.view(storage)
        self._view.heard = heard
        highs, marks = dict(storage.counts.highs), storage.counts.marks
        known = self._expected()
        lacking = {one.device: one.last for one in gone(highs, known)}
        identity, say = Identity.read(folder / "keys" / "device.txt", device, highs, storage.lossy, known)
        hlc = HybridClock(clock.now_ms, marks.get(identity.name, (0, 0)))
        for mark in marks.values():
            hlc.saw(mark)
        self._writer = Writer(storage, self._view, identity, hlc, clock)
        storage.landed, storage.failed = self._writer.landed, self._writer.failed
        storage.queued = self._writer.queued
        self._view.settled = self._keep_snapshot
        self._tell(put_back, say, _behind(hlc), cloud_warning(folder), *self._take_back())
        sums = self._snapshot.sums
        self.safe = Safekeeping(folder, storage, clock.now_ms, self._second_folder, self.merge, sums)
        self._shared: SharedFolder | None = None
        held = HeldNames(storage.lines)
        self.syncing = Syncing(folder, held, self.merge, self.by, lambda: self.device)
        of_hub = Syncing(folder, held, self.merge, self.by, lambda: self.device)  # a turn of its own: a hub may be slow
        borrowed = Borrowed(folder, lambda place: Journal.open(place, clock=clock))
        self.hub = HubDesk(folder, of_hub, clock.now_ms, lambda: self.safe.look(), borrowed)
        if lacking:
            note_missing(folder, lacking)
        if put_back:
            self.safe.go_on_without()
        self.safe.look(storage.new)
        self.safe.opened()
        log.info("data file opened: %d records, %d things to say", len(storage.lines), len(self._report))

    def _expected(self) -> Mapping[str, int]:
        return highest(noted_marks(self.folder), Backups(self.backups).highs())

    def _second_folder(self) -> str | None:
        return self._folder_set("backup_folder")

    def shared_folder(self) -> Path | None:
        """The folder that this bench shares with others, where one is set."""
        named = self._folder_set("shared_folder")
        return Path(named).expanduser() if named else None

    def sync_shared(self) -> Synced | None:
        """Brings this bench and the shared folder together; None where none is there or it may be a stranger's.

        Do not call it while the state is held still. OSError, NotKept as far as it came.
        """
        folder = self.shared_folder()
        if folder is None or not folder.is_dir():
            return None
        if self._shared is None or self._shared.folder != folder:
            self._shared = SharedFolder(folder, self.device)  # it remembers what it has read
        if self.syncing.preview(self._shared).strange:
            return None
        done = self.syncing.sync(self._shared)
        if done.new_here:
            self.safe.look()
        return done

    def _folder_set(self, name: str) -> str | None:
        with self._view.reading() as state:
            named = state.setting(name)
        return named if isinstance(named, str) else None

    @classmethod
    def open(
        cls, folder: Path, *, clock: Timekeeper, device: str = "laptop", disk: Disk = REAL, heard: Heard = unheard
    ) -> "Journal":
        """Opens a data folder, making what is missing. Held when another process has it; Unusable when it cannot be.

        `heard` is told how far it has come; the records are read when somebody first wants the state.
        """
        lock = FolderLock(folder, utc_text(clock.now_ms()))
        try:
            with kept():  # what is found on opening is said once the language is known
                return cls(folder, lock, clock, device, disk, heard)
        except OSError as error:
            lock.release()
            raise Unusable(
                _("The data folder {name} cannot be used: {strerror}.", name=folder.name, strerror=error.strerror)
            ) from error
        except BaseException:
            lock.release()
            raise

    @property
    def report(self) -> list[str]:
        """What a person should know of this data folder, in sentences; empty when there is nothing."""
        with self._view.reading() as state:
            now = [self.safe.trouble] if self.safe.trouble else []
            return [*self._report, *_of_newer(state), *now, *self._view.unfolded]

    def _tell(self, *sentences: str | None) -> None:
        self._report += [say for say in sentences if say]

    # Reading ----------------------------------------------------------------------------------------------------

    def reading(self) -> AbstractContextManager[State]:
        """The folded state, up to date and standing still inside the block."""
        return self._view.reading()

    def turn(self, at_once: bool = False) -> Turn:
        """A request's turn to read and write; its answer waits for the disk when the turn has been given on."""
        return Turn(self._writer.turns, at_once)

    @property
    def state(self) -> State:
        """The folded state, up to date. Where other threads write, use `reading` instead."""
        with self._view.reading() as state:
            return state

    def records(self, subject: str) -> list[Record]:
        """The records with this subject, in order."""
        return self._view.by("subject", subject)

    def by(self, field: str, value: str) -> list[Record]:
        """The records whose `field` (kind, subject, device, or also.NAME) is `value`, in order, from an index."""
        return self._view.by(field, value)

    @property
    def conflicts(self) -> list[Conflict]:
        """Every id that different records claim, with all of them, until it is corrected or withdrawn."""
        return self._view.conflicts()

    @property
    def device(self) -> str:
        """The name under which this folder writes. It changes when somebody else is found to write under it too."""
        return self._writer.identity.name

    @property
    def table(self) -> RecordTable:
        """The TinyDB table with all records, for queries of one's own."""
        table = self._base.table(TABLE)
        assert isinstance(table, RecordTable)
        return table

    # Writing ----------------------------------------------------------------------------------------------------

    def new_id(self) -> str:
        """A fresh ULID, for a form that is to be one record however often it is sent."""
        return new_id(self._clock.now_ms())

    def write(
        self,
        kind: str,
        subject: str | None,
        data: Mapping[str, Any],
        *,
        also: Mapping[str, str] | None = None,
        id: str | None = None,
        corrects: Sequence[str] = (),
        happened_at: str | None = None,
        how: Literal["live", "late", "import"] = "live",
        entered_on: str | None = None,
    ) -> Receipt:
        """One record of this laptop, on the disk when this returns. `subject` None: the record's own id.

        Refusal when it is malformed, NotKept when the disk refuses; nothing is stored then. An id that is known already
        answers `same` when the record says the same, else `conflict`, with both kept.
        """
        draft = Draft(kind, subject, data, also, id, corrects, happened_at, how, entered_on)
        return self.write_all([draft])[0]

    def write_all(self, drafts: Sequence[Draft], sender: Sender | None = None) -> list[Receipt]:
        """The records of one submit, in one commit; all are checked before any is stored.

        `sender` is the phone that the submit was made on, whose records they then are, with its own time.
        """
        return self._writer.write_all(drafts, sender)

    def receive(self, raws: Iterable[object]) -> list[Receipt]:
        """Envelopes of a phone's outbox, in any order and any number of times; one receipt each, in their order."""
        return self._writer.receive(raws)

    def merge(self, source: Path | Iterable[object]) -> Merged:
        """Takes in every record of another data file, folder, backup or list of envelopes, and its photos.

        A union by id: the order of merges does not matter, and a second one brings nothing. Unusable when the source
        cannot be read; NotKept when the disk refuses.
        """
        return merge_into(self._writer, self.photos, source, self._put_aside)

    def _take_back(self) -> Iterator[str]:
        """Takes in what was kept aside when another program replaced the open file, and tells what came."""
        for held in sorted(self.backups.glob(f"*{HELD}")):
            try:
                merged = self.merge(held)
                held.rename(held.with_suffix(".taken"))
            except (OSError, Trouble) as error:
                yield _(
                    "{name} could not be imported: {value}", name=held.name, value=getattr(error, "say", None) or error
                )
                continue
            if merged.new:
                yield _(
                    "The data file was replaced or changed. {records} came back from backups/{name}.",
                    records=records_in_words(merged.new),
                    name=held.name,
                )

    def _put_aside(self, raw: bytes) -> Path:
        return set_aside(raw, self.backups, f"merge-{self._day()}", ".refused")

    # Keeping ----------------------------------------------------------------------------------------------------

    def backup(self, folder: Path | None = None) -> Path:
        """A copy of the data file as of the last commit, one a day. OSError when the disk refuses."""
        return self.safe.backup(folder)

    def _keep_snapshot(self) -> None:
        storage = self._base.file
        with self._view.reading(), storage.pen:  # always in this order: a screen that reads may write
            if storage.newest() is None:  # else a later one will do
                self._snapshot.save(self._view, storage)

    def _day(self) -> str:
        return utc_text(self._clock.now_ms())[:10]

    def close(self) -> None:
        """Waits for the write under way, then lets the next process in. A second time it does nothing."""
        if self._closed:
            return
        self._closed = True
        self.hub.stop()
        if self._view.unsettled >= MANY or self._view.newly_worked >= MUCH:
            self._keep_snapshot()
        self._base.close()
        self._writer.identity.note()
        note_closed(self.folder, self._base.file.counts.highs)
        self._lock.release()

    def __enter__(self) -> "Journal":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def _of_newer(state: State) -> list[str]:
    kinds = sorted({(record.kind, record.v) for record in state.unknown})
    if not kinds:
        return []
    return [
        _(
            "A newer Saggar wrote {records} here ({kinds}): kept, but not counted. Update Saggar.",
            records=records_in_words(len(state.unknown)),
            kinds="; ".join(_("{kind}, version {v}", kind=kind, v=v) for kind, v in kinds[:5]),
        )
    ]


def _behind(hlc: HybridClock) -> str | None:
    if hlc.behind_ms <= MOST_AHEAD_MS:
        return None
    return _(
        "This computer's clock is behind its own records. Correct the clock. Until then new records keep their "
        "order, but their times are wrong."
    )
