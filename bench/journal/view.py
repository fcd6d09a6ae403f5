"""The records as readers see them: the folded state, the index, and what disagrees about an id.

Commits hand their records to `add`, which only puts them in line. Whoever takes the lock next files them first, so a
state is always up to date when it is read, a commit never waits for a screen, and a screen that holds the lock while it
writes cannot lock itself out.

What has been filed is settled from time to time: the state then keeps only where its records stand in the file.
"""

import gc
from array import array
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from threading import RLock
from typing import Any, NamedTuple

import numpy as np
import orjson

from bench.journal.envelopes import read_line
from bench.journal.receipts import Conflict
from bench.journal.scanning import Heard, unheard
from bench.journal.shelf import A_PIECE, Shelf
from bench.records.compacting import filled, plain_of
from bench.records.filing import file_new
from bench.records.record import Record
from bench.records.state import State
from bench.records.store import by_order
from bench.translation import Later

MANY = 2_000
SETTLE_OVER = 50_000
"""So many records are filed as objects before they are settled; a record takes about 2 kB as an object."""


class Stand(NamedTuple):
    """A record and where it stands: its position and its key; position -1 where there is no file."""

    record: Record
    spot: int
    key: str


class Dropped(NamedTuple):
    """In line where what was before it, and is not among the file's first `lines` lines, was not kept."""

    lines: int


class View:
    """The folded state, kept up to date under one lock. Without a `shelf` it belongs to no file."""

    def __init__(self, shelf: Shelf | None = None) -> None:
        self._lock = RLock()
        self.shelf = shelf
        self._waiting: deque[Stand | Dropped] = deque()
        self._unread = range(0)  # positions of the file that are not filed yet
        self._state = State(shelf)
        self._spots: dict[str, int] = {}  # where the records stand that were filed since the last settling
        self._variants: dict[str, list[Stand]] = {}
        self._names: list[str] = []
        self._numbers: dict[str, int] = {}
        self._columns = {"kind": array("H"), "device": array("H")}  # a number for each position
        self._worked = 0
        self._owed = False  # many were filed while some were on their way: to be settled
        self.unfolded: list[str] = []
        self.heard: Heard = unheard
        self.settled: Callable[[], None] = lambda: None
        """Called, with the lock held, after many records were settled at once."""

    def add(self, record: Record, spot: int = -1, key: str = "") -> None:
        """Puts a record that is on the disk in line for filing. Does not wait for anybody."""
        self._waiting.append(Stand(record, spot, key))

    def drop(self, lines: int) -> None:
        """Nothing is kept but the first `lines` lines of the file: whoever reads next folds all of them again."""
        self._waiting.append(Dropped(lines))

    def add_lines(self, spots: range) -> None:
        """As `add`, for lines of the file, which are read only when somebody wants the state."""
        self._unread = spots

    @contextmanager
    def reading(self) -> Iterator[State]:
        """The state, up to date and standing still while the block runs."""
        with self._lock:
            self._catch_up()
            yield self._state

    def by(self, field: str, value: str) -> list[Record]:
        """The records whose `field` (kind, subject, device, or also.NAME) is `value`, in order."""
        with self.reading() as state:
            if field in self._columns:
                found = self._with_number(field, value, state)
            else:
                about = [*state.everything_about(value), *state.unknown]
                found = [r for r in about if _value(r, field) == value]
        return sorted(found, key=by_order)

    def _with_number(self, field: str, value: str, state: State) -> list[Record]:
        if self.shelf is None:
            return [r for r in state.records.values() if _value(r, field) == value]
        number = self._numbers.get(value, -1)
        spots = np.flatnonzero(np.frombuffer(self._columns[field], np.uint16) == number).tolist()
        found = (self.shelf.load(spot) for spot in spots if spot not in self.shelf.silent)
        return [record for record in found if _value(record, field) == value]

    def conflicts(self) -> list[Conflict]:
        """Every id that records with different content claim, while it stands uncorrected."""
        with self.reading() as state:
            pairs = [(i, sorted(found, key=_rank)) for i, found in self._variants.items() if state.is_effective(i)]
        told = [Conflict(i, tuple(stand.record for stand in found)) for i, found in pairs]
        return [one for one in told if any(r.content != one.records[0].content for r in one.records)]

    def everything(self) -> list[Record]:
        """All records, those that claim a taken id among them, in no special order."""
        with self.reading() as state:
            found = [v.record for stands in self._variants.values() for v in stands]
            return [*(r for r in state.records.values() if r.id not in self._variants), *found]

    @property
    def unsettled(self) -> int:
        """How many records are filed as objects, or wait to be; 0 where lines of the file were not even read."""
        return 0 if self._unread else len(self._spots) + len(self._waiting)

    @property
    def newly_worked(self) -> int:
        """Of how many things more than the last snapshot knows something was worked out; 0 where there is none."""
        return len(self._state.worked) - self._worked if self._state.settled.count else 0

    # Filing -----------------------------------------------------------------------------------------------------

    def _catch_up(self) -> None:
        count, covered = len(self._unread) + len(self._waiting), len(self._columns["kind"]) + len(self._unread)
        try:
            self._file_whole(count)
        except BaseException:
            if self.shelf is not None:  # half of the records is no state: who reads next begins anew
                self._begin_again(min(covered, len(self.shelf.places)))
            raise

    def _file_whole(self, count: int) -> None:
        if count < MANY and not (self._owed and self.shelf is not None and not self.shelf.coming):
            self._file_all()
            if len(self._spots) > SETTLE_OVER:
                self.settle()
            return
        # Python's collector would walk the growing heap again and again, and find nothing: records hold no rings.
        paused = gc.isenabled()
        gc.disable()
        try:
            self._file_all()
            self._owed = self.shelf is not None and bool(self.shelf.coming)
            if self.shelf is not None:
                self.settle()
            gc.freeze()
        finally:
            if paused:
                gc.enable()
        if not self._owed:
            self.settled()

    def _file_all(self) -> None:
        moved = False
        for read in self._read_lines():
            moved |= self._file(read)
        while self._waiting:
            stand = self._waiting.popleft()
            if isinstance(stand, Dropped):
                self._begin_again(stand.lines)
                self._file_all()
                return
            self._note(stand.record)
            moved |= self._file(stand)
            if len(self._spots) > SETTLE_OVER:
                self.settle()
        if moved:
            self._fold_again()

    def _begin_again(self, lines: int) -> None:
        if self.shelf is not None:
            self.shelf.begin_again()
        self._state = self._anew()
        self._spots.clear()
        self._variants, self._names, self._numbers, self.unfolded = {}, [], {}, []
        self._columns = {"kind": array("H"), "device": array("H")}
        self._unread = range(lines)

    def _anew(self) -> State:
        fresh = State(self.shelf)
        fresh.goes_on_from(self._state)
        return fresh

    def _read_lines(self) -> Iterator[Stand]:
        unread, self._unread = self._unread, range(0)
        if self.shelf is None:
            return
        for spot, key, line in self.shelf.lines(unread):
            if (done := spot - unread.start) % A_PIECE == 0:
                self.heard("read", done, len(unread))
            try:
                record = read_line(key, line)
            except ValueError:
                self._silent(spot, key)
                continue
            self._note(record)
            yield Stand(record, spot, key)
            if len(self._spots) > SETTLE_OVER:
                self.settle()

    def _silent(self, spot: int, key: str) -> None:
        assert self.shelf is not None
        self.shelf.silent.add(spot)
        self._note(None)
        self.unfolded.append(Later("The line of {key} is kept, but this bench cannot read it.", key=key))

    def _note(self, record: Record | None) -> None:
        # Numbers for the kinds and devices of each position; 65,535 is nobody's.
        if self.shelf is not None:
            names = ("", "") if record is None else (record.kind, record.device)
            for column, name in zip(self._columns.values(), names, strict=True):
                column.append(65_535 if record is None else self._numbers.get(name) or self._number(name))

    def _number(self, name: str) -> int:
        found = self._numbers.get(name)
        if found is None:
            found = self._numbers[name] = min(len(self._names), 65_534)
            self._names.append(name)
        return found

    def _file(self, stand: Stand) -> bool:
        # Whether the record that counts for its id is now another one than was folded.
        record = stand.record
        stands = self._variants.get(record.id)
        if stands is None:
            known = self._known(stand)
            if known is None:
                self._fold(stand)
                return False
            stands = self._variants[record.id] = [known]
        if self.shelf is not None:
            self.shelf.silent.add(stand.spot)
        if any(record == other.record for other in stands):
            return False
        stands.append(stand)
        return min(stands, key=_rank) is not stands[0]

    def _known(self, stand: Stand) -> Stand | None:
        """The record that was filed under the id of another one, and where it stands."""
        record_id = stand.record.id
        if self.shelf is not None and stand.key == record_id and record_id not in self.shelf.elsewhere:
            return None  # a key stands in the file once, so only one under another key can have claimed the id
        record = self._state.records.get(record_id)
        if record is None:
            return None
        return Stand(record, self._spot_of(record), "")

    def _spot_of(self, record: Record) -> int:
        spot = self._spots.get(record.id)
        if spot is None and self.shelf is not None:
            spot = self.shelf.find(record.id)
        return -1 if spot is None else spot

    def _fold(self, stand: Stand) -> None:
        record = stand.record
        if self.shelf is not None:
            self.shelf.counts(record, stand.spot, stand.key)
            self._spots[record.id] = stand.spot
        try:
            file_new(self._state, record)
        except (KeyError, TypeError, ValueError, AttributeError, IndexError):
            # Only a record that no checked way of writing makes; it stays in the file and is named in the report.
            say = Later("The record {id} ({kind}) is kept, but cannot be read.", id=record.id, kind=record.kind)
            self.unfolded += [] if say in self.unfolded else [say]

    def settle(self) -> None:
        """Lets the state keep only where its records stand. Everything in line must have been filed."""
        if self._spots and not (self.shelf is not None and self.shelf.coming):
            self._state.settle(self._spot_of, 1 + max(self._spots.values()))
            self._spots.clear()

    def _fold_again(self) -> None:
        # All copies must come to the same state whatever came first, so the first by order counts.
        self._variants = {i: sorted(found, key=_rank) for i, found in self._variants.items()}
        if self.shelf is None:
            before, self._state = self._state.records, self._anew()
            for identity, record in before.items():
                self._fold(self._variants.get(identity, [Stand(record, -1, identity)])[0])
            return
        claims = self._variants.values()
        self.shelf.silent -= {found[0].spot for found in claims}
        self.shelf.silent |= {stand.spot for found in claims for stand in found[1:]}
        self.shelf.elsewhere |= {i: found[0].spot for i, found in self._variants.items()}
        self._state = self._anew()
        self._spots.clear()
        coming = dict(self.shelf.coming)  # before the file is asked how long it is
        count = len(self._columns["kind"])
        for spot, key, line in self.shelf.lines(range(min(count, len(self.shelf.places)))):
            if spot not in self.shelf.silent:
                self._fold(Stand(read_line(key, line), spot, key))
                coming.pop(spot, None)
                if len(self._spots) > SETTLE_OVER:
                    self.settle()
        for spot, (key, record) in sorted(coming.items()):
            if spot < count and spot not in self.shelf.silent:
                self._fold(Stand(record, spot, key))

    # Keeping ----------------------------------------------------------------------------------------------------

    def snapshot(self) -> tuple[dict[str, Any], dict[str, Any]] | None:
        """What a snapshot keeps of everything in line, as arrays and plain values; None when it does not fit in."""
        assert self.shelf is not None
        with self.reading() as state:
            self.settle()
            if state.index:
                return None
            arrays, plain = plain_of(state)
            self._worked = len(state.worked)
            columns = {name: np.array(column, np.uint16) for name, column in self._columns.items()}
            mine: dict[str, Any] = {
                "names": self._names,
                "unfolded": self.unfolded,
                "variants": {i: [stand.spot for stand in found] for i, found in self._variants.items()},
            }
            return {**arrays, **columns}, {"state": plain, "shelf": self.shelf.plain(), **mine}

    def fill(self, arrays: dict[str, Any], plain: dict[str, Any]) -> int:
        """Takes what `snapshot` gave, and tells up to which position it goes."""
        assert self.shelf is not None
        self.shelf.fill(plain["shelf"])
        self._state = filled(self.shelf, arrays, plain["state"])
        self._worked = len(self._state.worked)
        self._names, self.unfolded = plain["names"], plain["unfolded"]
        self._numbers = {name: n for n, name in enumerate(self._names)}
        for name in self._columns:
            self._columns[name] = array("H", arrays[name].tobytes())
        for identity, spots in plain["variants"].items():
            stands = [(self.shelf.load(spot), spot) for spot in spots]
            self._variants[identity] = [Stand(record, spot, "") for record, spot in stands]
        return len(self._columns["kind"])


def _value(record: Record, field: str) -> Any:
    if field.startswith("also."):
        return record.also.get(field.removeprefix("also."))
    return getattr(record, field) if field in ("kind", "subject", "device") else None


def _rank(stand: Stand) -> tuple[Any, ...]:
    record = stand.record
    return (record.order, record.seq, orjson.dumps(record.to_dict(), option=orjson.OPT_SORT_KEYS))


def folded(records: Iterable[Record]) -> View:
    """A view of some records that belong to no open journal."""
    view = View()
    for record in records:
        view.add(record)
    return view
