"""The records as readers see them: the folded state, the index, and what disagrees about an id.

Commits hand their records to `add`, which only puts them in line. Whoever takes the lock next files them first, so a
state is always up to date when it is read, a commit never waits for a screen, and a screen that holds the lock while it
writes cannot lock itself out.
"""

import gc
from collections import defaultdict, deque
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from threading import RLock
from typing import Any

import orjson

from bench.journal.envelopes import read_line
from bench.journal.receipts import Conflict
from bench.workshop.records import Record
from bench.workshop.state import State, fold

MANY = 2_000


class View:
    """The folded state, kept up to date under one lock."""

    def __init__(self) -> None:
        self._lock = RLock()
        self._waiting: deque[Record] = deque()
        self._unread: dict[str, bytes] = {}
        self._state = State()
        self._variants: dict[str, list[Record]] = {}
        self._index: dict[str, dict[str, list[str]]] | None = None
        self.unfolded: list[str] = []

    def add(self, record: Record) -> None:
        """Puts a record that is on the disk in line for filing. Does not wait for anybody."""
        self._waiting.append(record)

    def add_lines(self, lines: Mapping[str, bytes]) -> None:
        """As `add`, for the sound lines of a file, which are read only when somebody wants the state."""
        self._unread.update(lines)

    @contextmanager
    def reading(self) -> Iterator[State]:
        """The state, up to date and standing still while the block runs."""
        with self._lock:
            self._catch_up()
            yield self._state

    def by(self, field: str, value: str) -> list[Record]:
        """The records whose `field` (kind, subject, device, or also.NAME) is `value`, in order."""
        with self.reading() as state:
            if self._index is None:
                self._index = {}
                for record in state.records.values():
                    self._enter(record)
            found = [state.records[i] for i in self._index.get(field, {}).get(value, ())]
        return sorted(found, key=lambda record: record.order)

    def conflicts(self) -> list[Conflict]:
        """Every id that records with different content claim, while it stands uncorrected."""
        with self.reading() as state:
            pairs = [(i, sorted(found, key=_rank)) for i, found in self._variants.items() if state.stands(i)]
        return [Conflict(i, tuple(found)) for i, found in pairs if any(r.content != found[0].content for r in found)]

    def everything(self) -> list[Record]:
        """All records, those that claim a taken id among them, in no special order."""
        with self.reading() as state:
            twins = [r for found in self._variants.values() for r in found if r is not state.records[r.id]]
            return [*state.records.values(), *twins]

    def _catch_up(self) -> None:
        if len(self._unread) + len(self._waiting) < MANY:
            return self._file_all()
        # Python's collector would walk the growing heap again and again, and find nothing: records hold no rings.
        paused = gc.isenabled()
        gc.disable()
        try:
            self._file_all()
            gc.freeze()
        finally:
            if paused:
                gc.enable()

    def _file_all(self) -> None:
        moved = False
        if self._unread:
            for record in self._read_lines():
                moved |= self._file(record)
            self._unread = {}
        while self._waiting:
            moved |= self._file(self._waiting.popleft())
        if moved:
            self._fold_again()

    def _read_lines(self) -> Iterator[Record]:
        for key, line in self._unread.items():
            try:
                yield read_line(key, line)
            except ValueError:
                self.unfolded.append(f"The line of {key} is kept, but it is no record that this bench understands.")

    def _file(self, record: Record) -> bool:
        # Whether the record that counts for its id is now another one than was folded.
        known = self._state.records.get(record.id)
        if known is None:
            self._fold(record)
            return False
        variants = self._variants.setdefault(record.id, [known])
        if record in variants:
            return False
        variants.append(record)
        return min(variants, key=_rank) is not known

    def _fold(self, record: Record) -> None:
        try:
            fold(self._state, record)
        except (KeyError, TypeError, ValueError, AttributeError, IndexError):
            # Only a record that no checked way of writing makes; it stays in the file and is named in the report.
            self.unfolded.append(f"The record {record.id} ({record.kind}) is kept, but cannot be understood.")
        if self._index is not None:
            self._enter(record)

    def _fold_again(self) -> None:
        # All copies must come to the same state whatever came first, so the first by order counts.
        counting = {i: min(found, key=_rank) for i, found in self._variants.items()}
        before = self._state.records
        self._state, self._index = State(), None
        for identity, record in before.items():
            self._fold(counting.get(identity, record))

    def _enter(self, record: Record) -> None:
        assert self._index is not None
        pairs = [("kind", record.kind), ("subject", record.subject), ("device", record.device)]
        pairs += [(f"also.{name}", value) for name, value in record.also.items()]
        for field, value in pairs:
            self._index.setdefault(field, defaultdict(list))[value].append(record.id)


def _rank(record: Record) -> tuple[Any, ...]:
    return (record.order, record.seq, orjson.dumps(record.to_dict(), option=orjson.OPT_SORT_KEYS))


def folded(records: Iterable[Record]) -> View:
    """A view of some records that belong to no open journal."""
    view = View()
    for record in records:
        view.add(record)
    return view
