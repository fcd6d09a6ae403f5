"""The facts that the steps are declared over: every declared name is there, and an effect does what the fold does."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.records.moments import to_ms
from bench.records.state import State
from bench.steps import BY_RECORD, HOUSE, SORTS
from bench.steps.folding import StepRecord, apply
from bench.workshop.facts import OF, facts
from bench.workshop.snapshot import after_looks
from tests.workshop.answers import LIBRARY
from tests.workshop.builder import Builder, lines

OWN = {"sort", "id", "made_ms"}
SALTED = lines(("ZnO", 5.0), ("CoO", 5.0), ("NaCl", 2.0, "washed-out"))


def bench_with_all() -> tuple[Builder, dict[str, str]]:
    """One thing of each sort: a weighed batch, a charge placed, an opened powder with its swatch, a jar, waste."""
    b = Builder()
    batch = b.batch(SALTED)
    b.weigh(batch, 5.0, 5.0, 2.0)
    charge = b.charge({"batch": b.batch(), "g": 5.0})
    powder = b.opened(b.charge({"batch": b.batch(SALTED), "g": 10.0}), 49.0, tare_after_g=40.0)
    swatch = b.add("swatch.made", {"pigment": powder, "binder": "gum arabic"}).subject
    firing = b.firing()
    b.placed(charge, firing)
    jar, pot = b.jar(), b.crucible()
    waste = b.add("waste.added", {"container": b.new_id(), "contents": "rinses"}).data["container"]
    made = {"batch": batch, "charge": charge, "firing": firing, "pigment": powder, "swatch": swatch, "jar": jar}
    return b, made | {"waste": waste, "crucible": pot}


def test_every_declared_fact_is_worked_out_and_no_other() -> None:
    b, things = bench_with_all()
    assert {sort.sort for sort in SORTS} == set(OF) == set(things)
    for sort in SORTS:
        told = facts(b.state, things[sort.sort])
        assert told is not None
        told |= after_looks(b.state, things["firing"], LIBRARY) if sort.sort == "firing" else {}
        assert set(told) - OWN == set(sort.facts), sort.sort
        for name, fact in sort.facts.items():
            value, kind = told[name], fact.kind
            expected: Any = {
                "flag": bool,
                "number": (int, float),
                "text": str,
                "list": list,
                "rows": list,
                "thing": str,
            }[kind]
            assert value is None or isinstance(value, expected), (sort.sort, name, value)
            assert not fact.values or value in fact.values, (sort.sort, name, value)


MEDIA = st.sampled_from(["dry", "water", "acetone"])
GRAMS = st.sampled_from([11.9, 11.8, 11.5])
WASHED = st.fixed_dictionaries({"round": st.integers(1, 9)}, optional={"water_ml": st.integers(1, 500)})
AFTER = {"washed": WASHED, "ground": st.fixed_dictionaries({"medium": MEDIA})}
BEFORE = {
    "mixed": st.fixed_dictionaries({"medium": MEDIA}),
    "dried": st.fixed_dictionaries({"where": st.just("dish")}, optional={"mass_g": GRAMS}),
}


def story(kinds: dict[str, Any]) -> Any:
    return st.lists(st.one_of([st.tuples(st.just(kind), data) for kind, data in kinds.items()]), max_size=8)


def tell(b: Builder, thing: str, bin_: str, records: list[tuple[str, dict[str, Any]]]) -> None:
    """Each record's declared effects on the facts before it are what the fold makes of it."""
    for kind, data in records:
        said = data | ({"waste": bin_} if kind == "washed" else {})
        told = _both(b.state, thing, bin_)
        at_ms = to_ms(b.add(kind, said, thing).when)
        if kind == "washed":
            b.add("waste.added", {"container": bin_, "contents": "rinse", "volume_ml": data.get("water_ml")}, bin_)
        apply(HOUSE, BY_RECORD[kind], told, StepRecord(thing, said, at_ms))
        assert told == _both(b.state, thing, bin_), (kind, said)


def _both(state: State, thing: str, bin_: str) -> dict[str, dict[str, Any]]:
    return {one: dict(facts(state, one) or {}) for one in (thing, bin_)}


@settings(max_examples=60, deadline=None)
@given(story(AFTER), st.booleans(), story(AFTER))
def test_a_powders_records_do_to_its_facts_what_their_steps_declare(before: Any, weighed: bool, after: Any) -> None:
    b, things = bench_with_all()
    dry = [("dry.weighed", {"net_g": 8.5})] if weighed else []
    tell(b, things["pigment"], things["waste"], [*before, *dry, *after])


@settings(max_examples=60, deadline=None)
@given(story(BEFORE))
def test_a_batchs_records_do_to_its_facts_what_their_steps_declare(records: Any) -> None:
    b, things = bench_with_all()
    tell(b, things["batch"], things["waste"], records)


@pytest.mark.parametrize(
    ("name", "value"),
    [("missing_n", 0), ("weighed_g", 12.0), ("left_g", 12.0), ("damp", True), ("used_up", False)],
)
def test_what_is_derived_follows_from_the_facts(name: str, value: Any) -> None:
    b, things = bench_with_all()
    batch = things["batch"]
    assert HOUSE.fact({batch: facts(b.state, batch) or {}}, batch, [name]) == value


def follows(
    b: Builder,
    things: tuple[str, ...],
    kind: str,
    data: dict[str, Any],
    subject: str | None,
    asks: tuple[str, ...] = (),
) -> str:
    """One record: what its step declares it to do to these facts is what the fold makes of them. Gives what it made.

    `asks` are things of which it asks facts and changes none.
    """
    told = {one: dict(facts(b.state, one) or {}) for one in (*things, *asks)}
    record = b.add(kind, data, subject)
    made = b.state.made(record) or record.subject
    step = BY_RECORD[kind]
    apply(HOUSE, step, told, StepRecord(things[0], record.data, to_ms(record.when), made))
    for one, declared in told.items():
        now = declared if one in asks else facts(b.state, one) or {}
        assert {name: now[name] for name in declared} == declared, (kind, one)
    return made


PLACE = {"tier": 1, "row": 1, "column": 1}


def test_a_charge_is_filled_placed_heated_taken_out_and_opened_as_declared() -> None:
    b = Builder()
    batch = b.ready_batch()
    fill = {"crucible": (pot := b.crucible()), "sources": [{"batch": batch, "g": 7.5}]}
    charge = follows(b, (batch,), "charged", fill, None, (pot,))
    firing = b.firing()
    follows(b, (charge, firing), "placed", {"firing": firing, **PLACE}, charge)
    b.lit(firing)
    b.reading(firing, 700.0)
    follows(b, (charge, firing), "came.out", {"firing": firing, "charge": charge, "rest_place": "brick"}, charge)
    follows(b, (charge, firing), "touched", {"thing": charge, "surface_c": 300.0}, charge)
    follows(b, (charge, firing), "touched", {"thing": charge, "surface_c": 31.0}, charge)
    follows(b, (charge, firing), "went.in", {"firing": firing, "charge": charge}, charge)
    follows(b, (charge, firing), "came.out", {"firing": firing, "charge": charge}, charge)
    follows(b, (charge, firing), "touched", {"thing": charge, "surface_c": 22.0}, charge)
    powder = follows(b, (charge,), "opened", {"gross_g": 47.0, "tare_after_g": 40.0}, charge)
    follows(b, (powder,), "lost", {"from": powder, "how": "spill", "g": 0.4}, powder)
    b.washed(powder)
    b.dry_weighed(powder, 6.0)
    swatch = follows(b, (powder,), "swatch.made", {"pigment": powder, "binder": "gum arabic"}, None)
    follows(b, (swatch,), "judged", {"verdict": "keep"}, swatch)


def test_a_place_in_a_furnace_that_burns_is_in_the_heat_at_once_as_declared() -> None:
    b = Builder()
    charge, firing = b.charge({"batch": b.ready_batch(), "g": 5.0}), b.firing()
    b.lit(firing)
    follows(b, (charge, firing), "placed", {"firing": firing, **PLACE}, charge)
    follows(b, (charge, firing), "came.out", {"firing": firing, "charge": charge}, charge)


@pytest.mark.parametrize("verdict", ["keep", "refire", "make-up", "tint", "discard"])
def test_a_verdict_leaves_a_powder_as_declared(verdict: str) -> None:
    b, things = bench_with_all()
    follows(b, (things["pigment"],), "judged", {"verdict": verdict}, things["pigment"])


def test_a_loss_and_what_goes_into_the_waste_are_counted_as_declared() -> None:
    b, things = bench_with_all()
    batch, waste = things["batch"], things["waste"]
    follows(b, (batch,), "lost", {"from": batch, "how": "dust", "g": 0.25}, batch)
    follows(b, (waste,), "waste.added", {"container": waste, "contents": "rinse", "volume_ml": 80.0}, waste)
