"""Did it repeat: the batches of one recipe, and the spread between and within them; and what came out of a jar."""

import pytest

from bench.reference import load_library
from bench.workshop.from_jar import out_of
from bench.workshop.repeats import MOST, Family, Member, family_of, member, spreads
from tests.workshop.builder import START, Builder, lines

LIBRARY = load_library()
TAN = lines(("ZnO", 5.0), ("Fe2O3", 10.0))


def of(*yields: float) -> Member:
    return Member("x", START, yields, (), ())


def test_fewer_than_three_batches_tell_no_spread() -> None:
    found = spreads([of(98.0, 98.4), of(97.0)])[0]
    assert not found.known and found.within == pytest.approx(0.2 * 2**0.5)


def test_the_spread_between_and_within() -> None:
    # By hand: groups (1, 3), (5, 7), (3, 5): means 2, 6, 4; s of the means 2; within √2; F = (2·8/2)/2 = 4.
    found = spreads([of(1.0, 3.0), of(5.0, 7.0), of(3.0, 5.0)])[0]
    assert (found.between, found.within, found.f) == (2.0, pytest.approx(2**0.5), pytest.approx(4.0))


def test_a_recipe_is_told_by_its_shares_and_by_what_was_made_again() -> None:
    b = Builder()
    first = b.batch(TAN, schedule=[{"to_c": 1000.0, "hold_min": 60.0}])
    heat = {"schedule": [{"to_c": 960.0, "hold_min": 60.0}]}
    plan = {"name": "tan", "from": "grams", "lines": TAN, **heat}
    again = b.add("batch.planned", plan, also={"repeats": first}).id
    twice = b.batch(lines(("ZnO", 10.0), ("Fe2O3", 20.0)), schedule=[{"to_c": 1005.0, "hold_min": 60.0}])
    for flux in (0.3, 0.45):  # a flux of 2 % and one of 3 %: small shares, and two recipes
        b.batch([*TAN, {"line": 3, "formula": "NaCl", "target_g": flux}], schedule=[{"to_c": 1000.0, "hold_min": 60.0}])
    assert len(family_of(b.state, b.state.things("batch")[-1]).batches) == 1
    b.batch(lines(("ZnO", 6.0), ("Fe2O3", 10.0)), schedule=[{"to_c": 1000.0, "hold_min": 60.0}])
    b.batch(TAN, schedule=[{"to_c": 900.0, "hold_min": 60.0}])
    assert family_of(b.state, first) == Family((first, again, twice))


def test_of_many_batches_of_a_recipe_itself_and_the_newest_are_looked_at() -> None:
    b = Builder()
    plan = [{"to_c": 1000.0, "hold_min": 60.0}]
    first, *others = [b.batch(TAN, schedule=plan) for _ in range(MOST)]
    assert family_of(b.state, first) == Family((first, *others))
    newest = b.batch(TAN, schedule=plan)
    assert family_of(b.state, first) == Family((first, *others[1:], newest), more=True)
    b.correct(b.state.slot(newest, "batch.planned").record, lines=lines(("ZnO", 6.0), ("Fe2O3", 10.0)))  # type: ignore[arg-type]
    assert family_of(b.state, first) == Family((first, *others))


def test_what_came_of_a_batch() -> None:
    b = Builder()
    thing = b.ready_batch(TAN)
    charge = b.charge({"batch": thing, "g": 10.0}, crucible=b.crucible(tare_g=40.0))
    made = b.opened(charge, 49.5, tare_after_g=40.0)
    swatch = b.swatch(made)
    b.add("swatch.measured", {"lab": [50.0, 10.0, 30.0]}, swatch)
    b.judged(made)
    found = member(b.state, thing)
    assert found.fired_pct == (95.0,)
    b.dry_weighed(made, 9.2)
    rinsed = member(b.state, thing)
    assert rinsed.yield_pct == pytest.approx(92.0) and rinsed.fired_pct == (95.0,)
    assert (found.yields_pct, found.lab, found.verdicts) == ((95.0,), (50.0, 10.0, 30.0), ("keep",))


def test_a_jar_that_was_wrong_is_worked_out_anew_beside_the_old() -> None:
    b = Builder()
    jar = b.jar("ZnO", "zinc-oxide", net_g=100.0)
    # ZnFe2O4 wants 81.379 g ZnO for 159.687 g Fe2O3: 5.0961 g for 10 g.
    planned = [dict(TAN[0], jar=jar, target_g=5.0961), TAN[1]]
    thing = b.batch(planned, target_formula="ZnFe2O4")
    b.weigh(thing, 5.0961, jar=jar)
    b.weigh(thing, 10.0, first=2)
    charge = b.charge({"batch": thing, "g": 10.0})
    made = b.opened(charge)
    [found] = out_of(b.state, jar, LIBRARY)
    assert not found.changed and found.then_pct == pytest.approx(0.0, abs=0.01)
    assert found.things == (charge, made)
    b.correct(b.state.slot(jar, "jar.opened").record, assay_pct=90.0)  # type: ignore[arg-type]
    [found] = out_of(b.state, jar, LIBRARY)
    # Zinc is short by a tenth: iron is 1/0.9 of what it takes up, 11.1 % too much.
    assert found.changed and found.then_pct == pytest.approx(0.0, abs=0.01)
    assert found.now_pct == pytest.approx(11.11, abs=0.02)
