"""Times of placing and lighting that cannot be are said, and times that can be are not."""

from bench.workshop.things.charges import charge
from bench.workshop.times_amiss import times_amiss
from tests.workshop.builder import Builder


def said(make: Builder, thing: str, fire: str) -> list[str]:
    view = charge(make.state, thing)
    assert view is not None
    return [one.say for one in times_amiss(make.state, view, fire)]


def loaded(make: Builder) -> str:
    return make.charge({"batch": make.ready_batch(), "g": 10.0})


def test_a_lighting_put_before_the_placing_is_said_until_the_placing_is_put_right() -> None:
    make = Builder()
    thing, fire = loaded(make), make.firing()
    make.wait(60)
    placed = make.placed(thing, fire)
    make.wait(5)
    lit = make.lit(fire)
    assert not said(make, thing, fire)
    earlier = make.minutes - 120
    make.add("lit", {}, fire, happened=earlier, corrects=[lit.id])
    [words] = said(make, thing, fire)
    assert "counts as placed after lighting" in words
    make.add("placed", placed.data, thing, happened=earlier - 10, corrects=[placed.id])
    assert not said(make, thing, fire)


def test_what_is_loaded_into_a_fire_that_burns_is_right() -> None:
    make = Builder()
    thing, other, fire = loaded(make), loaded(make), make.firing()
    lit = make.lit(fire)
    make.wait(30)
    make.placed(thing, fire)
    make.went_in(fire, other)
    make.add("lit", {}, fire, happened=make.minutes - 20, corrects=[lit.id])
    assert not said(make, thing, fire) and not said(make, other, fire)


def test_two_firings_whose_placings_are_the_wrong_way_round() -> None:
    make = Builder()
    thing, first, second = loaded(make), make.firing(name="Monday"), make.firing(name="Tuesday")
    make.wait(3000)
    make.placed(thing, first, happened=1000)
    make.lit(first, happened=1010)
    late = make.placed(thing, second, happened=900)
    make.lit(second, happened=2010)
    [words] = said(make, thing, second)
    assert "in Monday after this one" in words and not said(make, thing, first)
    make.add("placed", late.data, thing, happened=2000, corrects=[late.id])
    assert not said(make, thing, second)


def test_an_older_firing_that_is_entered_afterwards_is_right() -> None:
    make = Builder()
    thing, first, second = loaded(make), make.firing(), make.firing()
    make.wait(3000)
    make.placed(thing, second, happened=2000)
    make.lit(second, happened=2010)
    make.placed(thing, first, happened=1000)
    make.lit(first, happened=1010)
    assert not said(make, thing, first) and not said(make, thing, second)
