"""The fold: any set of records, in any order, comes to one state; nothing raises; slots, corrections and undoing."""

import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.records.filing import fold, fold_all
from bench.records.kinds import KINDS
from bench.records.record import BENCH, Record
from bench.records.standing import verdicts
from bench.records.state import State
from tests.workshop.answers import of_state, of_thing
from tests.workshop.builder import BLUE, Builder, ulid
from tests.workshop.everything import THINGS, histories, history, make


def everywhere(records: list[Record]) -> list[str]:
    return [*THINGS, *(r.id for r in records if r.id not in THINGS), BENCH]


@settings(max_examples=60, deadline=None)
@given(histories(), st.randoms(use_true_random=False))
def test_any_order_comes_to_the_same_answers(records: list[Record], rng: random.Random) -> None:
    things = everywhere(records)
    answers = of_state(fold_all(records), things)
    mixed = list(records)
    rng.shuffle(mixed)
    assert of_state(fold_all(mixed), things) == answers
    assert of_state(fold_all(reversed(records)), things) == answers


@settings(max_examples=40, deadline=None)
@given(histories())
def test_folding_twice_is_folding_once(records: list[Record]) -> None:
    once, twice = fold_all(records), fold_all([*records, *records])
    assert of_state(twice, everywhere(records)) == of_state(once, everywhere(records))


@settings(max_examples=40, deadline=None)
@given(histories(), st.integers(0, 40))
def test_records_may_come_in_two_lots_with_a_look_between(records: list[Record], cut: int) -> None:
    things = everywhere(records)
    state = fold_all(records[:cut])
    of_state(state, things)  # what was asked before must not colour what is answered after
    for record in records[cut:]:
        fold(state, record)
    assert of_state(state, things) == of_state(fold_all(records), things)


@pytest.mark.parametrize("seed", range(4))
def test_many_records_about_few_things_never_raise(seed: int) -> None:
    rng = random.Random(seed)
    records = history([rng.getrandbits(40) for _ in range(250)])
    state = fold_all(records)
    of_state(state, everywhere(records))
    assert {state.kind_of[t] for t in THINGS if t in state.kind_of} >= {"batch", "charge", "firing", "pigment"}


Edges = list[tuple[int, int, bool]]
edges_among_eight = st.lists(st.tuples(st.integers(0, 7), st.integers(0, 7), st.booleans()), max_size=20)


def maps(edges: Edges) -> tuple[dict[str, list[str]], dict[str, list[str]]]:
    """Who is corrected by whom and withdrawn by whom, from (by, target, whether it is a correction)."""
    corrected: dict[str, list[str]] = {}
    withdrawn: dict[str, list[str]] = {}
    for by, target, corrects in edges:
        (corrected if corrects else withdrawn).setdefault(str(target), []).append(str(by))
    return corrected, withdrawn


@settings(max_examples=200, deadline=None)
@given(edges_among_eight)
def test_what_stands_is_neither_withdrawn_nor_replaced(edges: Edges) -> None:
    honest = [e for e in edges if e[0] > e[1]]  # only what was there before can be undone
    corrected, withdrawn = maps(honest)

    def is_withdrawn(name: str) -> bool:
        return any(is_standing(w) for w in withdrawn.get(name, []))

    def is_replaced(name: str) -> bool:
        return any(not is_withdrawn(c) or is_replaced(c) for c in corrected.get(name, []))

    def is_standing(name: str) -> bool:
        return not is_withdrawn(name) and not is_replaced(name)

    for name in map(str, range(8)):
        assert verdicts(name, corrected, withdrawn)[name] == is_standing(name)


@settings(max_examples=200, deadline=None)
@given(edges_among_eight)
def test_rings_or_not_whoever_asks_first_the_answer_is_one(edges: Edges) -> None:
    corrected, withdrawn = maps([e for e in edges if e[0] != e[1]])
    found = {name: verdicts(name, corrected, withdrawn)[name] for name in map(str, range(8))}
    for name in found:
        assert all(found[other] == stands for other, stands in verdicts(name, corrected, withdrawn).items())
        if name not in corrected and name not in withdrawn:
            assert found[name]


def test_a_long_chain_of_undoing_and_a_tight_knot_of_it_are_worked_out() -> None:
    chain = {str(n): [str(n + 1)] for n in range(20_000)}
    assert verdicts("0", {}, chain)["0"] and not verdicts("1", {}, chain)["1"]
    assert [r for r, stands in verdicts("0", chain, {}).items() if stands] == ["20000"]
    knot = {str(n): [str(m) for m in range(60) if m != n] for n in range(60)}
    assert all(verdicts("0", knot, {}).values()) and all(verdicts("0", {}, knot).values())
    assert all(verdicts("0", knot, knot).values())


# Slots ---------------------------------------------------------------------------------------------------------


@pytest.fixture
def b() -> Builder:
    return Builder()


def test_two_values_in_one_slot_disagree_and_the_first_stays_in_force(b: Builder) -> None:
    batch = b.batch()
    first, second = b.weigh(batch, 8.01)[0], b.weigh(batch, 8.20)[0]
    slot = b.state.slot(batch, "weighed", 1)
    assert slot.heads == (first, second) and slot.disagrees
    assert slot.record == first and slot.body.net_g == 8.01
    assert [s.heads for s in b.state.disagreements(batch)] == [(first, second)]


def test_the_same_value_twice_is_no_disagreement(b: Builder) -> None:
    batch = b.batch()
    b.weigh(batch, 8.01)
    b.add("weighed", {"line": 1, "net_g": 8.01, "balance_d_g": 0.01}, batch)  # the default, said aloud
    assert not b.state.disagreements(batch)
    assert len(b.state.slot(batch, "weighed", 1).heads) == 2


def test_other_lines_and_other_firings_are_other_slots(b: Builder) -> None:
    batch = b.batch()
    b.weigh(batch, 8.01, 12.3)
    charge = b.charge({"batch": batch, "g": 5.0})
    b.placed(charge, b.firing())
    b.placed(charge, b.firing(), column=2)
    assert not b.state.disagreements(batch) and not b.state.disagreements(charge)
    assert b.state.slot(batch, "weighed", 2).body.net_g == 12.3


def test_a_correction_settles_and_the_corrected_ones_stay_to_be_seen(b: Builder) -> None:
    batch = b.batch()
    first, second = b.weigh(batch, 8.01)[0], b.weigh(batch, 8.20)[0]
    b.correct(first, second, net_g=8.20)
    state = b.state
    assert not state.disagreements(batch)
    assert state.slot(batch, "weighed", 1).body.net_g == 8.20
    assert first in state.everything_about(batch) and first in state.all_rows(batch, "weighed")
    assert not state.is_effective(first.id) and not state.is_effective(second.id)


def test_two_corrections_of_one_record_disagree(b: Builder) -> None:
    batch = b.batch()
    first = b.weigh(batch, 8.01)[0]
    one, other = b.correct(first, net_g=8.10), b.correct(first, net_g=8.20)
    slot = b.state.slot(batch, "weighed", 1)
    assert slot.disagrees and slot.heads == (one, other)


def test_correcting_a_correction_does_not_bring_the_first_value_back(b: Builder) -> None:
    batch = b.batch()
    first = b.weigh(batch, 8.01)[0]
    second = b.correct(first, net_g=8.10)
    third = b.correct(second, net_g=8.20)
    assert b.state.slot(batch, "weighed", 1).heads == (third,)
    b.withdraw(third)
    assert b.state.slot(batch, "weighed", 1).heads == (second,)
    b.withdraw(second)
    assert b.state.slot(batch, "weighed", 1).heads == (first,)


def test_undo_brings_back_what_was_before(b: Builder) -> None:
    batch = b.batch()
    first = b.weigh(batch, 8.01)[0]
    second = b.correct(first, net_g=9.99)
    undo = b.withdraw(second)
    assert b.state.slot(batch, "weighed", 1).record == first
    again = b.withdraw(undo)
    assert b.state.slot(batch, "weighed", 1).record == second
    b.withdraw(again)
    assert b.state.slot(batch, "weighed", 1).record == first
    b.withdraw(first)
    assert b.state.slot(batch, "weighed", 1).record is None


def test_a_withdrawn_withdrawal_closes_the_thing_again_whoever_its_subject_is(b: Builder) -> None:
    batch = b.batch()
    closed = b.closed(batch)
    undo = b.withdraw(closed)
    assert b.state.open_things("batch") == [batch]
    b.withdraw(undo)
    assert b.state.open_things("batch") == []
    assert fold_all(reversed(b.records)).open_things("batch") == []


def test_a_record_that_withdraws_itself_among_others_withdraws_the_others(b: Builder) -> None:
    batch = b.batch()
    weighed = b.weigh(batch, 8.0)[0]
    undo = b.withdraw(weighed)
    twisted = replace(undo, data={**undo.data, "ids": [weighed.id, undo.id]})
    state = fold_all([*b.records[:-1], twisted])
    assert not state.is_effective(weighed.id) and state.is_effective(undo.id)


def test_records_that_undo_each_other_in_a_ring_undo_nothing_of_each_other(b: Builder) -> None:
    batch = b.batch()
    one, other = b.weigh(batch, 8.0)[0], b.weigh(batch, 9.0)[0]
    ring = [replace(one, corrects=(other.id,)), replace(other, corrects=(one.id,))]
    slot = fold_all([*b.records[:-2], *ring]).slot(batch, "weighed", 1)
    assert [h.id for h in slot.heads] == [one.id, other.id] and slot.disagrees


def test_what_nobody_made_does_not_exist_and_what_was_withdrawn_no_longer_does(b: Builder) -> None:
    batch = b.batch()
    assert b.state.exists(batch) and b.state.things("batch") == [batch]
    b.withdraw(batch)
    assert not b.state.exists(batch) and b.state.things("batch") == [] and b.state.open_things("batch") == []
    assert not b.state.exists(ulid(5))


def test_a_powder_that_is_only_named_by_another_does_not_exist(b: Builder) -> None:
    charge = b.charge({"batch": b.batch(), "g": 5.0})
    powder = b.opened(charge)
    b.gathered({"pigment": powder, "g": 3.0})
    b.withdraw(powder)
    assert not b.state.exists(powder)


def test_a_corrected_plan_is_the_same_batch(b: Builder) -> None:
    batch = b.batch()
    plan = b.state.slot(batch, "batch.planned").record
    assert plan is not None
    b.correct(plan, name="deep blue", from_="grams")
    state = b.state
    assert state.things("batch") == [batch] and state.exists(batch)
    assert state.slot(batch, "batch.planned").body.name == "deep blue"


@pytest.mark.parametrize("seed", range(6))
def test_an_opening_that_is_corrected_again_and_again_is_still_one_powder(seed: int) -> None:
    b = Builder()
    charge = b.charge({"batch": b.batch(), "g": 20.0})
    powder = b.opened(charge, 58.0)
    current = b.records[-1]
    for gross in (57.0, 56.0, 55.5):
        current = b.correct(current, gross_g=gross)  # each names only the one before it
    b.washed(powder)
    mixed = list(b.records)
    random.Random(seed).shuffle(mixed)
    state = fold_all(mixed)
    assert state.things("pigment") == [powder] and state.open_things("pigment") == [powder]
    views = of_thing(state, powder)
    assert views["raw"] == pytest.approx(55.5 - 40.0)
    assert views["pigment"].washes == 1 and views["pigment"].charges == (charge,)
    assert of_thing(state, charge)["charge"].pigment == powder
    assert of_thing(state, charge)["offspring"] == [powder]
    assert [r.id for r in b.records if r.id in state.kind_of and state.kind_of[r.id] == "pigment"] == [powder]


def test_unknown_kinds_are_kept_and_change_nothing(b: Builder) -> None:
    batch = b.batch()
    newer = replace(b.records[-1], id=ulid(77), kind="cooled.by", corrects=(batch,))
    later = replace(b.records[-1], id=ulid(78), v=2, corrects=(batch,))
    state = fold_all([later, newer, *b.records])
    assert state.unknown == [newer, later] and state.is_effective(batch)
    assert state.records[newer.id] == newer
    assert state.things("batch") == [batch]


# The bench -----------------------------------------------------------------------------------------------------


def test_a_setting_has_its_newest_value_and_undo_gives_the_older_back(b: Builder) -> None:
    b.add("setting.changed", {"name": "place", "value": "indoors"}, BENCH)
    last = b.add("setting.changed", {"name": "place", "value": "outdoors"}, BENCH)
    assert b.state.setting("place") == "outdoors" and b.state.setting("airflow", "unknown") == "unknown"
    b.withdraw(last)
    assert b.state.settings() == {"place": "indoors"}


def test_a_code_on_two_things_is_shown_on_both(b: Builder) -> None:
    one, other = b.crucible(), b.crucible()
    b.coded(one, "ABCDEF")
    second = b.coded(other, "ABCDEF")
    assert b.state.things_with("ABCDEF") == sorted([one, other])
    b.correct(second, code="GHJKMN")
    assert b.state.things_with("ABCDEF") == [one] and b.state.code_of(other) == "GHJKMN"
    assert {"ABCDEF", "GHJKMN"} <= b.state.issued  # a code that was ever out is never issued again


def test_the_makers_own_cards_stand_once_each(b: Builder) -> None:
    row = {"slug": "our-red", "name": "our red", "formula": "Fe2O3"}
    card = b.add("card.changed", {"table": "targets", "slug": "our-red", "row": row, "basis": "own"})
    b.correct(card, row={**row, "name": "red of the yard"})
    assert [c["row"]["name"] for c in b.state.cards()] == ["red of the yard"]


def test_the_newest_record_is_known_by_its_mark(b: Builder) -> None:
    batch = b.batch(BLUE)
    assert fold_all(reversed(b.records)).last == b.records[-1]
    assert State().last is None and batch


def test_every_kind_is_drawn_by_the_histories() -> None:
    rng = random.Random(1)
    assert {make(rng.getrandbits(40)).kind for _ in range(600)} == set(KINDS)
