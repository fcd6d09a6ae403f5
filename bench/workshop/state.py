"""The folded state: every record in its place, so that no screen walks them all.

A fold only files records: under each thing they touch, by kind, in order. What a thing *is* now is worked out from its
own few records when a screen asks (the files beside this one, one a thing). So any set of records in any order folds to
the same state, and a fold has nothing to raise about.
"""

from bisect import insort
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from bench.workshop.kinds import KINDS, MAKERS, SINGLE
from bench.workshop.records import BENCH, Record
from bench.workshop.schema import is_ulid

ENDERS = ("closed", "opened", "judged")
FINAL_VERDICTS = ("keep", "tint", "discard")
NO_ROWS: dict[str, list[Record]] = {}


def _order(record: Record) -> Any:
    return record.order


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
        return any(head.data != self.heads[0].data for head in self.heads[1:])


class State:
    """All records, filed. Only `fold` adds to it."""

    def __init__(self) -> None:
        self.records: dict[str, Record] = {}
        self.kind_of: dict[str, str] = {}  # thing -> what it is
        self.index: dict[str, dict[str, list[Record]]] = {}  # thing -> kind -> records in order
        self.undone_by: dict[str, list[str]] = defaultdict(list)  # record -> those that correct or withdraw it
        self.codes: dict[str, set[str]] = defaultdict(set)  # code -> things it was ever assigned to
        self.issued: set[str] = set()
        self.of_kind: dict[str, set[str]] = defaultdict(set)  # what -> things
        self.open: dict[str, set[str]] = defaultdict(set)  # what -> things that are not closed
        self.unknown: list[Record] = []  # of kinds or versions this bench does not know
        self.last: Record | None = None

    # Reading ---------------------------------------------------------------------------------------------------

    def rows(self, thing: str, kind: str) -> list[Record]:
        """The records of a kind that touch a thing and still stand, in order."""
        found = self.index.get(thing, NO_ROWS).get(kind, ())
        return [r for r in found if self.stands(r.id)]

    def all_rows(self, thing: str, kind: str) -> list[Record]:
        """As `rows`, with those that were corrected or withdrawn among them."""
        return list(self.index.get(thing, NO_ROWS).get(kind, ()))

    def own(self, thing: str, kind: str) -> list[Record]:
        """The standing records of a kind whose subject is the thing itself."""
        return [r for r in self.rows(thing, kind) if r.subject == thing]

    def slot(self, thing: str, kind: str, key: object = None) -> Slot:
        """The standing records in one slot of a thing. `key` tells slots apart where the kind has a key."""
        found = self.own(thing, kind)
        name = KINDS[kind].key
        if name is not None and key is not None:
            found = [r for r in found if r.data.get(name) == key]
        return Slot(tuple(found))

    def everything_about(self, thing: str) -> list[Record]:
        """Every record that touches a thing, standing or not, in order."""
        rows = self.index.get(thing, NO_ROWS).values()
        return sorted((r for found in rows for r in found), key=_order)

    def stands(self, record_id: str) -> bool:
        """Whether no standing record corrects or withdraws this one."""
        against = self.undone_by.get(record_id)
        return not against or not self._undone(record_id, set())

    def _undone(self, record_id: str, path: set[str]) -> bool:
        # A chain of undoing ends in a record that nobody undid. A ring, which no honest device makes, undoes nothing.
        if record_id in path:
            return False
        path = path | {record_id}
        against = self.undone_by.get(record_id, ())
        return any(a in self.records and a not in path and not self._undone(a, path) for a in against)

    def things(self, what: str) -> list[str]:
        """All things of a sort whose making still stands, oldest first."""
        return sorted((t for t in self.of_kind.get(what, ()) if self.exists(t)), key=self._made)

    def open_things(self, what: str) -> list[str]:
        """The things of a sort that are not closed, oldest first by the record that made them."""
        return sorted((t for t in self.open.get(what, ()) if self.exists(t)), key=self._made)

    def _made(self, thing: str) -> Any:
        record = self.records.get(thing)
        return record.order if record else ((0, 0, ""), thing)

    def exists(self, thing: str) -> bool:
        """Whether the thing was made, and its making was not withdrawn (a corrected making still makes it)."""
        what = self.kind_of.get(thing)
        if what is None:
            return False
        makers = [k for k, w in MAKERS.items() if w == what]
        return any(self.stands(r.id) for k in makers for r in self.index.get(thing, NO_ROWS).get(k, ()))

    def code_of(self, thing: str) -> str | None:
        """The code that stands for a thing, or None."""
        body = self.slot(thing, "code.assigned").body
        return None if body is None else body.code

    def things_with(self, code: str) -> list[str]:
        """The things that bear a code now; more than one is a disagreement to settle."""
        return sorted(
            t for t in self.codes.get(code, ()) if any(r.data["code"] == code for r in self.own(t, "code.assigned"))
        )

    def settings(self) -> dict[str, Any]:
        """Every setting's newest value."""
        return {r.data["name"]: r.data["value"] for r in self.rows(BENCH, "setting.changed")}

    def setting(self, name: str, default: Any = None) -> Any:
        return self.settings().get(name, default)

    def cards(self) -> list[Mapping[str, Any]]:
        """The maker's own reagents, targets and limits that stand, for laying over the Library."""
        found = (self.slot(thing, "card.changed").record for thing in sorted(self.of_kind.get("card", ())))
        return [record.data for record in found if record is not None]

    def disagreements(self, thing: str) -> list[Slot]:
        """Every slot of a thing in which standing records differ."""
        return [slot for slot in self._single_slots(thing) if slot.disagrees]

    def _single_slots(self, thing: str) -> Iterator[Slot]:
        for kind in self.index.get(thing, NO_ROWS):
            known = KINDS.get(kind)
            if known is None or known.slot != SINGLE:
                continue
            if known.key is None:
                yield self.slot(thing, kind)
                continue
            for key in dict.fromkeys(r.data.get(known.key) for r in self.own(thing, kind)):
                yield self.slot(thing, kind, key)


def fold(state: State, record: Record) -> State:
    """Files one record; the same record twice changes nothing. Gives the state back, so folds can be chained."""
    if record.id in state.records:
        return state
    state.records[record.id] = record
    if state.last is None or record.order > state.last.order:
        state.last = record
    known = KINDS.get(record.kind)
    if known is None or record.v != known.version:
        state.unknown.append(record)
        return state
    _undo(state, record)
    _make(state, record)
    touched = things_touched(record)
    for thing in touched:
        insort(state.index.setdefault(thing, {}).setdefault(record.kind, []), record, key=_order)
    _codes(state, record)
    for thing in _changed(state, record, touched):
        _open(state, thing)
    return state


def fold_all(records: Iterable[Record]) -> State:
    """The state that a set of records folds to."""
    state = State()
    for record in records:
        fold(state, record)
    return state


def _changed(state: State, record: Record, touched: set[str]) -> set[str]:
    # The things that this record may have opened or closed.
    if record.kind == "withdrawn" or record.corrects:
        undone = [state.records.get(i) for i in (*record.corrects, *record.data.get("ids", ()))]
        return touched | {r.subject for r in undone if r is not None}
    return touched if record.kind in MAKERS or record.kind in ENDERS else set()


def _undo(state: State, record: Record) -> None:
    against = list(record.corrects)
    if record.kind == "withdrawn":
        against += record.data["ids"]
    for target in against:
        state.undone_by[target].append(record.id)


def _make(state: State, record: Record) -> None:
    what = MAKERS.get(record.kind)
    if what is None:
        return
    thing = thing_made(record)
    if thing is None:
        return
    before = state.kind_of.get(thing, what)
    # Two sorts that claim one name cannot come from an honest device; the choice must only not depend on the order.
    state.kind_of[thing] = min(before, what)
    state.of_kind[before].discard(thing)
    state.of_kind[min(before, what)].add(thing)


def thing_made(record: Record) -> str | None:
    """The ULID of the thing that a record makes or makes again by correcting it; None for other kinds."""
    if record.kind == "opened":
        return record.corrects[0] if record.corrects else record.id
    if record.kind == "waste.added":
        return str(record.data["container"])
    return record.subject if record.kind in MAKERS else None


def _codes(state: State, record: Record) -> None:
    if record.kind == "code.issued":
        state.issued.update(record.data["codes"])
    if record.kind == "code.assigned":
        state.issued.add(record.data["code"])
        state.codes[record.data["code"]].add(record.subject)


def _open(state: State, thing: str) -> None:
    what = state.kind_of.get(thing)
    if what is None:
        return
    (state.open[what].discard if _ended(state, thing, what) else state.open[what].add)(thing)


def _ended(state: State, thing: str, what: str) -> bool:
    # A charge ends when it is opened; a pigment when it was judged and nothing more is to be done with it.
    if state.own(thing, "closed") or (what == "charge" and state.own(thing, "opened")):
        return True
    judged = state.own(thing, "judged") if what in ("pigment", "swatch") else []
    return bool(judged) and judged[-1].data["verdict"] in FINAL_VERDICTS


def things_touched(record: Record) -> set[str]:
    """The things whose pages this record belongs on: its subject, what it names, and what it makes."""
    found = {record.subject, *record.also.values()}
    made = thing_made(record)
    if made is not None:
        found.add(made)
    _named(record.data, found)
    return found


def _named(value: Any, found: set[str]) -> None:
    if isinstance(value, str):
        if len(value) == 26 and is_ulid(value):
            found.add(value)
    elif isinstance(value, Mapping):
        for inner in value.values():
            _named(inner, found)
    elif isinstance(value, list | tuple):
        for inner in value:
            _named(inner, found)
