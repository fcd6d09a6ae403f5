"""Numbering records, telling repeats from conflicts, and bringing them to the disk."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from bench.journal.envelopes import Parcel, Timekeeper, accepted, drafted, new_id, parcel, read_line
from bench.journal.gate import INTERRUPTED, Batch
from bench.journal.hlc import HybridClock, Mark, span
from bench.journal.identity import Identity
from bench.journal.lines import TWIN, encode, record_id, twin_key
from bench.journal.receipts import CONFLICT, Draft, Receipt, Sender, Status
from bench.journal.storage import AppendStorage, Entry
from bench.journal.trouble import NotKept
from bench.journal.turn import Turns
from bench.journal.view import View
from bench.records.moments import utc_text
from bench.records.record import Record
from bench.translation import _

Same = Callable[[Record, Record], bool]


def same_content(one: Record, two: Record) -> bool:
    """Whether two records under one id say the same, whoever counted them."""
    return one.content == two.content


def same_record(one: Record, two: Record) -> bool:
    """Whether two records are the same to the last field."""
    return one == two


@dataclass(frozen=True)
class Found:
    """A record that is known under an id; `batch` while it is still on its way to the disk."""

    record: Record
    batch: Batch[Entry] | None = None


class Commit:
    """One call's records on their way into one batch."""

    def __init__(self, batch: Batch[Entry]) -> None:
        self.batch = batch
        self.entries: list[Entry] = []
        self.waits: list[Batch[Entry]] = []
        self.receipts: list[Receipt] = []

    def answer(self, record: Record, status: Status, say: str | None = None) -> None:
        self.receipts.append(Receipt(record.id, status, say, None, record))


class Writer:
    """Everything that adds to the file. All of its bookkeeping is guarded by the storage's pen."""

    def __init__(self, storage: AppendStorage, view: View, identity: Identity, hlc: HybridClock, clock: Timekeeper):
        self._storage, self._view, self._hlc, self._clock = storage, view, hlc, clock
        self.identity = identity
        self._flight: dict[str, list[Found]] = {}  # id -> what is on its way to the disk
        self._coming = {} if view.shelf is None else view.shelf.coming
        self._file_when_landed = False  # since a failed write: records are filed when they are on the disk
        self.turns = Turns(storage, view)
        self._given: dict[str, int] = {}  # device -> the last number given out here for it
        self._twins: dict[str, list[str]] = {}  # id -> further keys under which it stands
        for key in storage.lines.places.odd():
            self._note_twin(key)

    # Called by the storage, with the pen held -------------------------------------------------------------------

    def queued(self, entries: list[Entry], first: int) -> None:
        """These are on their way: the view files them now, and whoever reads them waits for them before answering."""
        if self._file_when_landed:
            return
        for spot, entry in enumerate(entries, first):
            record = entry.owner or _understood(entry.key, entry.line)
            if record is not None:
                self._coming[spot] = (entry.key, record)
                self._view.add(record, spot, entry.key)

    def landed(self, entries: list[Entry]) -> None:
        """These are on the disk: count them and hand them to the view."""
        for entry in entries:
            record = entry.owner or _understood(entry.key, entry.line)
            if record is None:
                continue
            self._left_flight(record)
            self._note_twin(entry.key)
            self.identity.landed(record.device, record.seq)
            spot = self._storage.lines.places.find(entry.key) or 0
            if self._coming.pop(spot, None) is None:
                self._view.add(record, spot, entry.key)
        if self._storage.clear:
            self._file_when_landed = False

    def failed(self) -> None:
        """Nothing that was on its way is kept: its numbers are free again."""
        self._flight.clear()
        self._given.clear()
        self.identity.dropped()
        if self._coming:
            self._coming.clear()
            self._view.drop(len(self._storage.lines))
        self._file_when_landed = True  # until the disk takes something again, a record is filed when it is on the disk

    # Writing ----------------------------------------------------------------------------------------------------

    def write_all(self, drafts: Sequence[Draft], sender: Sender | None = None) -> list[Receipt]:
        """All drafts in one commit. Refusal, and none is kept, when one is malformed; NotKept when the disk refuses."""
        now_ms = self._clock.now_ms()
        records = [drafted(draft, draft.id or new_id(now_ms), self._clock) for draft in drafts]
        make = self._stamped if sender is None else Stamp(self, sender)
        return self._commit(records, make, same_content)

    def receive(self, raws: Iterable[object], same: Same = same_content) -> list[Receipt]:
        """Envelopes of other devices in one commit, each with its own answer; NotKept when the disk refuses."""
        checked = [accepted(raw) for raw in raws]
        kept = iter(self._commit([p for p in checked if isinstance(p, Parcel)], self._taken_in, same))
        return [next(kept) if isinstance(p, Parcel) else p for p in checked]

    def corrected_by(self, record: Record) -> list[Mark]:
        """The marks of what a record corrects or withdraws: its own has to stand after them."""
        corrected = (*record.corrects, *(record.data["ids"] if record.kind == "withdrawn" else ()))
        return [found.record.hlc[:2] for other in corrected for found in self._found(other)]

    def next_of(self, device: str) -> int:
        """The next number of another device whose records are numbered here, as they arrive."""
        self._given[device] = max(self.identity.highs.get(device, 0), self._given.get(device, 0)) + 1
        return self._given[device]

    def _stamped(self, record: Record) -> Parcel:
        for mark_before in self.corrected_by(record):
            self._hlc.follow(mark_before)
        identity = self.identity
        identity.seq += 1
        mark = (*self._hlc.tick(), identity.name)
        at = utc_text(self._clock.now_ms())
        return parcel(replace(record, device=identity.name, seq=identity.seq, hlc=mark, at=at))

    def _taken_in(self, sent: Parcel) -> Parcel:
        if sent.record.device == self.identity.name:
            self.identity.rename()  # somebody else counts under this name: a copy of this folder
        return sent

    def _commit(self, items: Sequence[Any], make: Callable[[Any], Parcel], same: Same) -> list[Receipt]:
        turn = self.turns.mine
        with self._storage.pen:
            if turn is not None and turn.failures != self._storage.failures:
                raise NotKept(INTERRUPTED)  # what this was decided on was not kept; the whole request is done again
            later = turn is not None and not self._file_when_landed
            commit = Commit(self._storage.queue([]))
            name, seq, given = self.identity.name, self.identity.seq, dict(self._given)
            try:
                for item in items:
                    self._place(commit, item, make, same)
            except BaseException:
                for entry in commit.entries:
                    self._left_flight(entry.owner)
                self.identity.seq = seq if self.identity.name == name else self.identity.seq
                self._given = given
                raise
            self._storage.queue(commit.entries)
        if commit.entries:
            commit.waits.append(commit.batch)
        for batch in () if later else dict.fromkeys(commit.waits):
            self._wait(batch)
        return commit.receipts

    def _wait(self, batch: Batch[Entry]) -> None:
        try:
            self._storage.wait(batch)
        except NotKept:
            self.turns.told()
            raise

    def _place(self, commit: Commit, item: Any, make: Callable[[Any], Parcel], same: Same) -> None:
        asked = item.record if isinstance(item, Parcel) else item
        found = self._found(asked.id)
        for known in found:
            if same(known.record, asked):
                commit.waits += [known.batch] if known.batch is not None else []
                return self._repeat(commit, found[0].record, known.record)
        sent = make(item)
        record = sent.record
        taken = bool(found) or self._storage.has(record.id)  # maybe by a line that holds no record
        key = twin_key(record.id, sent.doc) if taken else record.id
        entry = Entry(key, encode(key, sent.doc), record)
        ahead = self._far_ahead(record)
        commit.entries.append(entry)
        self._flight.setdefault(record.id, []).append(Found(record, commit.batch))
        if found:
            return self._repeat(commit, found[0].record, record)
        return commit.answer(record, "new", ahead)

    def _repeat(self, commit: Commit, first: Record, record: Record) -> None:
        if same_content(first, record):
            commit.answer(record, "same")
        else:
            commit.answer(record, "conflict", CONFLICT)

    def _found(self, identity: str) -> list[Found]:
        # What is known under an id: on the disk first, then on its way there.
        keys = (identity, *self._twins.get(identity, ()))
        lines = [(key, self._storage.lines.line(key)) for key in keys]
        kept = [_understood(key, line) for key, line in lines if line is not None]
        return [Found(record) for record in kept if record is not None] + self._flight.get(identity, [])

    def _left_flight(self, record: Record) -> None:
        left = [found for found in self._flight.pop(record.id, ()) if found.record is not record]
        if left:
            self._flight[record.id] = left

    def _note_twin(self, key: str) -> None:
        if TWIN in key:
            self._twins.setdefault(record_id(key), []).append(key)

    def _far_ahead(self, record: Record) -> str | None:
        ahead_ms = self._hlc.saw(record.hlc[:2])
        if not ahead_ms:
            return None
        return _(
            "The clock of {device} is {ahead_ms} ahead of this one. The record is kept. Correct that clock.",
            device=record.device,
            ahead_ms=span(ahead_ms),
        )


class Stamp:
    """Makes records of another device's submit: its name and its time, numbered in the order in which they arrive.

    Its mark follows its own mended clock, so that what waited long in the yard stands where it happened.
    """

    def __init__(self, writer: Writer, sender: Sender) -> None:
        self._writer, self._sender = writer, sender
        self._last: Mark = (max(1, sender.at_ms + (sender.offset_ms or 0)), -1)

    def __call__(self, record: Record) -> Parcel:
        """The record as it goes to the disk."""
        sender = self._sender
        ms, counter = max([self._last, *self._writer.corrected_by(record)])
        self._last = (ms, counter + 1)
        stamped = replace(
            record,
            device=sender.device,
            seq=self._writer.next_of(sender.device),
            hlc=(*self._last, sender.device),
            at=utc_text(sender.at_ms),
            offset_ms=sender.offset_ms,
            tz_min=sender.tz_min,
        )
        return parcel(stamped)


def _understood(key: str, line: bytes) -> Record | None:
    try:
        return read_line(key, line)
    except ValueError:
        return None
