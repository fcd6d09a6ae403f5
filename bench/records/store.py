"""The records in their places: under each thing that they touch, by kind, in order, and which of them stand."""

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from bench.records.index import Index, RecordIndex, Records, Source, packed, packs
from bench.records.kinds import KINDS, MAKERS, SINGLE
from bench.records.listed import Listed, joined
from bench.records.record import Record
from bench.records.references import is_known, thing_made
from bench.records.standing import verdicts
from bench.records.worked_out import REMEMBERED, Found, WorkedOut

NO_ROWS: dict[str, list[Record]] = {}
RECORD, MADE, KINDS_ABOUT, ALL_OF, OPEN = ":record", ":made", ":kinds", ":all", ":open"
"""What is read of a thing, or of a sort, beside the records of one kind."""


def by_order(record: Record) -> Any:
    """The key by which records stand in order."""
    return record.order


def by_time_then_order(record: Record) -> Any:
    """The key by which records stand in the order in which things happened."""
    return (record.when, record.order)


LONG, MOST_SORTED = 100, 40
"""So many records of a kind under one thing are kept sorted; fewer are sorted in no time."""


@dataclass(frozen=True)
class Slot:
    """What is known in one slot: the records that nobody has corrected, first to last."""

    heads: tuple[Record, ...]

    @property
    def record(self) -> Record | None:
        """The record to go on with: the first of those that stand. Never silently the last."""
        return self.heads[0] if self.heads else None

    @property
    def body(self) -> Any:
        return self.heads[0].body if self.heads else None

    @property
    def disagrees(self) -> bool:
        """Whether two records that stand say different things."""
        return any(head.body != self.heads[0].body for head in self.heads[1:])


@dataclass
class Grown:
    """What was made of the first `count` of these records."""

    rows: list[Record]
    count: int
    value: Any


class RecordStore(WorkedOut):
    """All records, filed, and what can be read of any thing's records. Whoever reads is noticed.

    With a `source`, records that it holds may be settled: their places are kept in arrays, and they are read from the
    source when somebody asks. Whoever reads a state cannot tell the two apart.
    """

    def __init__(self, source: Source | None = None, settled: RecordIndex | None = None) -> None:
        super().__init__()
        self.source = source
        self.settled = settled or RecordIndex()
        self.records = self._all_records()
        self.index: Index = {}  # thing -> kind -> records in order, of what is not settled
        self.kind_of: dict[str, str] = {}  # thing -> what it is
        self.corrected_by: dict[str, list[str]] = defaultdict(list)  # record -> those that correct it
        self.withdrawn_by: dict[str, list[str]] = defaultdict(list)  # record -> those that withdraw it
        self.codes: dict[str, set[str]] = defaultdict(set)  # code -> things it was ever assigned to
        self.issued: set[str] = set()
        self.of_kind: dict[str, set[str]] = defaultdict(set)  # what -> things
        self.lined: dict[str, list[str]] = defaultdict(list)  # what -> things, by the records that made them
        self.oddly: set[str] = set()  # things that were not made by a record of their own name
        self.with_timer: set[str] = set()  # things that ever had a timer
        self.open: dict[str, set[str]] = defaultdict(set)  # what -> things that are not closed
        self.unknown: list[Record] = []  # of kinds or versions this bench does not know
        self.last: Record | None = None
        self.standing: dict[str, bool] = {}  # what was worked out so far; emptied when anything is undone
        self.timed: dict[tuple[str, str], list[Record]] = {}  # what `by_time` sorted so far, of the long ones
        self.growing: dict[tuple[str, str], Grown] = {}  # what grows with the records of one thing and kind
        self._remembered: dict[str, dict[str, list[int]]] = {}

    def _all_records(self) -> dict[str, Record] | Records:
        return {} if self.source is None else Records(self.source, self.settled.count, self.settled.stop)

    def settle(self, spot_of: Callable[[Record], int], stop: int) -> None:
        """Puts everything that was filed into the arrays. All of it must stand in the source, before `stop`."""
        assert self.source is not None
        self.settled = packed(self.settled, self.index, spot_of, self.source.load, len(self.records), stop)
        self.records = self._all_records()
        self.index = {thing: kinds for thing, kinds in self.index.items() if not packs(thing)}
        self._remembered.clear()
        self.timed.clear()

    def touching(self, thing: str, kind: str) -> Sequence[Record]:
        """The records of a kind that touch a thing, in order, standing or not. Every reading goes through here."""
        self.notice(thing, kind)
        fresh = self.index.get(thing, NO_ROWS).get(kind, ())
        spots = self._settled_about(thing).get(kind) if self.source is not None else None
        if not spots or self.source is None:
            return fresh
        rows = [self.source.load(spot) for spot in spots]
        if not fresh:
            return rows
        rows += fresh
        return rows if fresh[0].order > rows[len(spots) - 1].order else sorted(rows, key=by_order)

    def how_many(self, thing: str, kind: str) -> int:
        """How many records of a kind touch a thing, standing or not. None of them is read."""
        self.notice(thing, kind)
        settled = self._settled_about(thing).get(kind, ()) if self.source is not None else ()
        return len(settled) + len(self.index.get(thing, NO_ROWS).get(kind, ()))

    def listed(self, thing: str, kind: str) -> Listed:
        """As `touching`, read only where somebody looks: for lists that go on for pages."""
        self.notice(thing, kind)
        fresh = self.index.get(thing, NO_ROWS).get(kind, ())
        if self.source is None:
            return joined((), fresh, _nothing)
        return joined(self._settled_about(thing).get(kind) or (), fresh, self.source.load)

    def kinds_about(self, thing: str) -> list[str]:
        """The kinds of the records that touch a thing."""
        self.notice(thing, KINDS_ABOUT)
        fresh = self.index.get(thing, NO_ROWS)
        return list(fresh if self.source is None else {**self._settled_about(thing), **fresh})

    def _settled_about(self, thing: str) -> Mapping[str, list[int]]:
        found = self._remembered.get(thing)
        if found is None:
            if len(self._remembered) >= REMEMBERED:
                self._remembered.clear()
            found = self._remembered[thing] = self.settled.about(thing)
        return found

    def sort_of(self, thing: str | None) -> str | None:
        """What sort of thing it is; None where it is none that was made."""
        if thing is None:
            return None
        self.notice(thing, MADE)
        return self.kind_of.get(thing)

    def record(self, record_id: str | None) -> Record | None:
        """The record of this id, or None."""
        if record_id is None:
            return None
        self.notice(record_id, RECORD)
        return self.records.get(record_id)

    def rows(self, thing: str, kind: str) -> list[Record]:
        """The records of a kind that touch a thing and still stand, in order."""
        return [r for r in self.touching(thing, kind) if self.is_effective(r.id)]

    def all_rows(self, thing: str, kind: str) -> list[Record]:
        """As `rows`, with those that were corrected or withdrawn among them."""
        return list(self.touching(thing, kind))

    def own(self, thing: str, kind: str) -> list[Record]:
        """The standing records of a kind whose subject is the thing itself."""
        return [r for r in self.rows(thing, kind) if r.subject == thing]

    def by_time(self, thing: str, kind: str, *, keep: bool = True) -> list[Record]:
        """As `own`, by the time when it happened, which for what is entered late is not the order of entry.

        Long ones are kept sorted for the next who asks, unless `keep` says that many things are asked of in passing.
        """
        return list(self._sorted(thing, kind, keep))

    def grown(
        self, thing: str, kind: str, begin: Callable[[], Found], more: Callable[[Found, list[Record]], None]
    ) -> Found:
        """What `more` makes of a thing's records of one kind, by time. Each is looked at once.

        Those that come are added; only where one came late, or was undone, all are looked at again. There is one for
        each kind.
        """
        rows = self._sorted(thing, kind, keep=True)
        known = self.growing.get((thing, kind))
        if known is None or known.rows is not rows:
            known = self.growing[thing, kind] = Grown(rows, 0, begin())
        if known.count < len(rows):
            more(known.value, rows[known.count :])
            known.count = len(rows)
        found: Found = known.value
        return found

    def _sorted(self, thing: str, kind: str, keep: bool) -> list[Record]:
        self.notice(thing, kind)
        known = self.timed.get((thing, kind))
        if known is None:
            known = sorted(self.own(thing, kind), key=by_time_then_order)
            if keep and len(known) >= LONG:
                if len(self.timed) >= MOST_SORTED:
                    self.timed.clear()
                    self.growing.clear()
                self.timed[thing, kind] = known
        return known

    def sort_in(self, thing: str, record: Record) -> None:
        """Keeps what was sorted by time as it must be with one more record; most come after all that were before."""
        known = self.timed.get((thing, record.kind))
        if known is None:
            return
        later = by_time_then_order(record) > by_time_then_order(known[-1])
        if record.subject == thing and later and self.is_effective(record.id):
            known.append(record)
        else:
            del self.timed[thing, record.kind]

    def effective_records(self, thing: str, kind: str) -> list[Record]:
        """As `rows`, but of two records that disagree in one slot only the one to go on with: nothing counts twice."""
        known = KINDS[kind]
        found = self.rows(thing, kind)
        if known.slot != SINGLE:
            return found
        keys = [r.data.get(known.key) if known.key else None for r in found]
        return [r for r, key in zip(found, keys, strict=True) if _first_id(self.slot(r.subject, kind, key)) == r.id]

    def slot(self, thing: str, kind: str, key: object = None) -> Slot:
        """The standing records in one slot of a thing. `key` tells slots apart where the kind has a key."""
        found = self.own(thing, kind)
        name = KINDS[kind].key
        if name is not None and key is not None:
            found = [r for r in found if r.data.get(name) == key]
        return Slot(tuple(found))

    def everything_about(self, thing: str) -> list[Record]:
        """Every record that touches a thing, standing or not, in order."""
        rows = (self.touching(thing, kind) for kind in self.kinds_about(thing))
        return sorted((r for found in rows for r in found), key=by_order)

    def is_effective(self, record_id: str) -> bool:
        """Whether a record was neither corrected nor withdrawn, or whatever did so was itself undone."""
        if record_id not in self.corrected_by and record_id not in self.withdrawn_by:
            return True
        if record_id not in self.standing:
            self.standing |= verdicts(record_id, self.corrected_by, self.withdrawn_by)
        return self.standing[record_id]

    def exists(self, thing: str) -> bool:
        """Whether the thing was made, and its making was not withdrawn (a corrected making still makes it)."""
        what = self.sort_of(thing)
        if what is None:
            return False
        if thing not in self.oddly and thing not in self.corrected_by and thing not in self.withdrawn_by:
            return True  # the record of its own name stands; no need to read it
        return any(self.is_effective(r.id) for r in self._makers(thing, what))

    def _makers(self, thing: str, what: str) -> Iterator[Record]:
        kinds = (k for k, w in MAKERS.items() if w == what)
        return (r for k in kinds for r in self.touching(thing, k) if self.made(r) == thing)

    def made(self, record: Record) -> str | None:
        """The thing that a record makes: for one that corrects an opening, the powder of the first opening."""
        return self.chain(record)[-1] if record.kind == "opened" else thing_made(record)

    def chain(self, record: Record) -> list[str]:
        """The ids of an opening, of the one it corrects, and so on; the last one names the powder."""
        found = {record.id: None}
        current: Record | None = record
        while current is not None and current.kind == "opened" and is_known(current) and current.corrects:
            before = current.corrects[0]
            if before in found:  # a ring, which no honest device makes: only the order of arrival must not matter
                return [*found, min(found)]
            found[before] = None
            current = self.record(before)
        return list(found)

    def gatherings(self, charge: str) -> list[Record]:
        """The records in force by which what was left of a charge was gathered."""
        return [r for r in self.effective_records(charge, "gathered") if _gathers(r, charge)]

    def emptied(self, charge: str) -> bool:
        """Whether a charge is no longer in its crucible: opened, gathered or given up."""
        # Any gathering that stands counts, also one that disagrees with another: both say that the crucible is empty.
        ended = self.own(charge, "opened") or self.own(charge, "closed")
        return bool(ended) or any(_gathers(r, charge) for r in self.rows(charge, "gathered"))


def _nothing(spot: int) -> Record:
    raise LookupError(spot)


def _first_id(slot: Slot) -> str | None:
    return slot.heads[0].id if slot.heads else None


def _gathers(record: Record, charge: str) -> bool:
    return any(source.charge == charge for source in record.body.sources)
