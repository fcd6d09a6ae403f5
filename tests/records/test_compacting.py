"""A settled state says what the plain one says, whatever was recorded and whenever it was settled."""

from collections.abc import Iterator
from typing import Any

import orjson
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from bench.records.compacting import filled, plain_of
from bench.records.filing import fold, fold_all
from bench.records.index import RecordIndex, Records, packed
from bench.records.kinds import KINDS
from bench.records.record import BENCH, Record
from bench.records.state import State
from bench.workshop.things.crucibles import crucible
from bench.workshop.things.jars import jar
from tests.workshop.everything import POOL, THINGS, histories, history


class Pile:
    """Records in a list, read by position as they would be from a file: each time as a new object."""

    def __init__(self, records: list[Record]) -> None:
        self.raws = [record.to_dict() for record in records]
        self.spots = {record.id: spot for spot, record in enumerate(records)}
        self.reads = 0

    def find(self, record_id: str) -> int | None:
        return self.spots.get(record_id)

    def load(self, spot: int) -> Record:
        self.reads += 1
        return Record.trusted(self.raws[spot])

    def walk(self, stop: int) -> Iterator[Record]:
        return (Record.trusted(raw) for raw in self.raws[:stop])


def spot_of(pile: Pile) -> Any:
    return lambda record: pile.spots[record.id]


def settled(records: list[Record], every: int) -> tuple[State, Pile]:
    pile = Pile(records)
    state = State(pile)
    for count, record in enumerate(records, 1):
        fold(state, record)
        if count % every == 0:
            state.settle(spot_of(pile), count)
    return state, pile


def told(state: State) -> dict[str, Any]:
    """Everything that a reader can ask, in plain values."""
    about = {}
    for thing in (*THINGS, BENCH):
        rows = {kind: [r.id for r in state.rows(thing, kind)] for kind in KINDS}
        forced = {kind: [r.id for r in state.effective_records(thing, kind)] for kind in KINDS}
        about[thing] = [rows, forced, [r.id for r in state.everything_about(thing)], state.exists(thing)]
        about[thing] += [state.code_of(thing), state.emptied(thing), len(state.disagreements(thing))]
    return {
        "about": about,
        "records": {i: r.to_dict() for i, r in state.records.items()},
        "count": len(state.records),
        "kind_of": state.kind_of,
        "with_timer": sorted(state.with_timer),
        "things": {what: state.things(what) for what in sorted(state.of_kind)},
        "sorted": {what: sorted(things, key=state.made_at) == things for what, things in state.lined.items() if things},
        "open": {what: state.open_things(what) for what in sorted(state.of_kind)},
        "codes": {code: state.things_with(code) for code in sorted(state.codes)},
        "issued": sorted(state.issued),
        "settings": state.settings(),
        "unknown": [r.id for r in state.unknown],
        "last": state.last.id if state.last else None,
        "stands": {i: state.is_effective(i) for i in state.records},
    }


@settings(max_examples=20, deadline=None)
@given(histories(60), some.integers(1, 12))
def test_what_is_settled_reads_as_what_is_not(records: list[Record], every: int) -> None:
    assert told(settled(records, every)[0]) == told(fold_all(records))


def test_a_long_history_with_rings_and_corrections_reads_the_same() -> None:
    records = history(range(200))
    plain = told(fold_all(records))
    for every in (1, 7, 100):
        state, pile = settled(records, every)
        assert told(state) == plain and pile.reads > 0


def test_what_is_kept_of_a_settled_state_comes_back() -> None:
    records = history(range(500, 700))
    pile = Pile(records)
    state = State(pile)
    for record in records[:150]:
        fold(state, record)
    state.settle(spot_of(pile), 150)
    arrays, plain = plain_of(state)
    again = filled(pile, arrays, orjson.loads(orjson.dumps(plain)))
    assert told(again) == told(fold_all(records[:150]))
    for record in records[150:]:
        fold(again, record)
    assert told(again) == told(fold_all(records))


@settings(max_examples=20, deadline=None)
@given(histories(50), some.randoms())
def test_things_stand_in_the_order_of_their_making_in_whatever_order_records_come(
    records: list[Record], rng: Any
) -> None:
    state = fold_all(records)
    for what, things in state.lined.items():
        made = [t for t in state.kind_of if state.kind_of[t] == what]
        assert things == sorted(made, key=state.made_at)
        whole = [t for t in things if any(state.is_effective(r.id) for r in state._makers(t, what))]
        assert state.things(what) == whole  # what is known of things at a glance is what their records say
    shuffled = list(records)
    rng.shuffle(shuffled)
    again = fold_all(shuffled).lined
    assert {what: things for what, things in again.items() if things} == {w: t for w, t in state.lined.items() if t}


def test_what_settles_late_stands_in_its_order() -> None:
    records = sorted(history(range(150)), key=lambda record: record.order, reverse=True)
    assert told(settled(records, 5)[0]) == told(fold_all(records))


def test_a_settled_record_is_known_and_never_taken_away() -> None:
    records = history(range(40))
    state, _pile = settled(records, 40)
    before = told(state)
    for record in records:
        fold(state, record)
    assert told(state) == before and isinstance(state.records, Records)
    with pytest.raises(TypeError):
        del state.records[records[0].id]
    with pytest.raises(KeyError):
        state.records["not there"]
    assert "not there" not in state.records and 5 not in state.records  # type: ignore[comparison-overlap]


def test_a_thing_with_a_name_that_does_not_fit_stays_outside() -> None:
    record = history([1])[0]
    found = packed(RecordIndex(), {"short": {"noted": [record]}, record.id: {"noted": [record]}}, lambda r: 0,
                   lambda spot: record, 1, 1)  # fmt: skip
    assert found.about(record.id) == {"noted": [0]} and found.about("short") == {} and found.about("") == {}


def summed(state: State) -> dict[str, Any]:
    """What is kept at hand of jars and crucibles."""
    jars = {thing: jar(state, thing) for thing in POOL["jar"]}
    return jars | {thing: crucible(state, thing) for thing in POOL["crucible"]}


@pytest.mark.parametrize("first", (0, 30_000))
def test_what_is_kept_at_hand_of_jars_and_crucibles_is_what_all_records_say(first: int) -> None:
    records = history(range(first, first + 250))
    state = State()
    for count, record in enumerate(records, 1):
        fold(state, record)
        assert summed(state) == summed(fold_all(records[:count])), record
