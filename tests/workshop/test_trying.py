"""What to try next: from signs, suspected causes, the series, and what teaches most."""

import pytest

from bench.records.kinds import SeriesPlanned
from bench.reference import Library, load_library
from bench.workshop.trying import (
    CAUSES,
    VERDICT_ADVICE,
    advice_for_verdict,
    between_levels,
    failure_signs,
    level_verdicts,
    next_tries,
    signs_seen,
)
from tests.workshop.builder import BLUE, Builder


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library()


def powder(b: Builder, signs: tuple[str, ...] = (), **plan: object) -> str:
    charge = b.charge({"batch": b.ready_batch(BLUE, target="cobalt-aluminate-blue", **plan), "g": 20.0})
    b.fired(charge)
    return b.opened(charge, None, signs=list(signs))


def test_every_piece_of_advice_that_is_named_stands_in_the_rows(library: Library) -> None:
    named = {slug for sign, advice in CAUSES.values() for slug in (sign, *advice)}
    named |= {slug for advice in VERDICT_ADVICE.values() for slug in advice}
    assert named <= set(library.advice)


def test_a_sign_that_was_seen_brings_what_tells_its_cause_apart(library: Library) -> None:
    b = Builder()
    thing = powder(b, ("black specks",))
    known = {sign.sign: sign for sign in failure_signs(b.state, thing, library)}
    assert signs_seen(b.state, thing) == ("black specks",)
    first = next_tries(b.state, thing, library)[0]
    assert first.say == known["black specks"].tells_apart and "black specks" in first.why


def test_a_suspected_cause_brings_its_remedy_with_its_ground(library: Library) -> None:
    b = Builder()
    thing = powder(b)
    b.add("judged", {"verdict": "refire", "suspected": [{"cause": "underfired", "certainty": "sure"}]}, thing)
    first = next_tries(b.state, thing, library)[0]
    assert first.say == library.advice["rescue-underfired"].says
    assert first.why == "underfired (sure)" and first.basis == "memory" and first.sources == ("common-practice",)


def test_without_any_sign_it_is_what_teaches_most(library: Library) -> None:
    b = Builder()
    thing = powder(b)
    says = [one.say for one in next_tries(b.state, thing, library)]
    assert library.advice["compare-second-fire"].says in says and library.advice["control-in-each"].says in says


def test_between_a_level_that_was_kept_and_one_that_was_not_lies_the_next(library: Library) -> None:
    series = SeriesPlanned("soda", (0, 2, 4, 6), "%")
    tries = between_levels(series, {0.0: "refire", 2.0: "keep", 4.0: "keep", 6.0: "tint"})
    assert [one.say.split(":")[0] for one in tries] == ["soda 1 %", "soda 5 %"]
    b = Builder()
    made = b.add("series.planned", {"factor": "soda", "levels": [2, 4]}).id
    two, four = (powder(b, series=made, level=level) for level in (2, 4))
    b.judged(two)
    b.judged(four, "discard")
    assert level_verdicts(b.state, made) == {2.0: "keep", 4.0: "discard"}
    assert any(one.say.startswith("soda 3:") for one in next_tries(b.state, two, library))


def test_a_batch_that_stood_before_its_series_counts_as_the_control(library: Library) -> None:
    b = Builder()
    zero = powder(b)
    b.judged(zero, "discard")
    told = {"factor": "soda", "levels": [0, 2], "control": 0}
    made = b.add("series.planned", told, also={"control": next(iter(b.state.things("batch")))}).id
    two = powder(b, series=made, level=2)
    b.judged(two)
    assert level_verdicts(b.state, made) == {0.0: "discard", 2.0: "keep"}


def test_each_verdict_has_its_next_step_and_a_stranger_none(library: Library) -> None:
    assert all(advice_for_verdict(one, library) for one in VERDICT_ADVICE)
    assert next_tries(Builder().state, Builder().new_id(), library) == () and advice_for_verdict("?", library) == []
