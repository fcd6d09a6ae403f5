"""Flags: what was done against a rule is told from the records, and what was done rightly raises none."""

import pytest

from bench.reference import Library, load_library
from bench.workshop.flags import flags_of
from bench.workshop.today import today
from tests.workshop.builder import Builder
from tests.workshop.everything import THINGS, history


@pytest.fixture(scope="module")
def library() -> Library:
    """The reference data."""
    return load_library()


def says(make: Builder, thing: str, library: Library) -> list[str]:
    """The flags of a thing in words."""
    return [flag.say for flag in flags_of(make.state, thing, library)]


def one_charge(make: Builder, **data: object) -> tuple[str, str]:
    """A dry charge in a crucible rated to 1000 °C, and its crucible."""
    vessel = make.crucible(rated_c=1000.0, ware="glazed-porcelain")
    return make.charge({"batch": make.ready_batch(), "g": 10.0}, crucible=vessel, **data), vessel


def test_a_careful_firing_raises_none(library: Library) -> None:
    """Dry in, under every rating, read below 40 °C before it was opened."""
    make = Builder()
    charge, vessel = one_charge(make)
    fire = make.firing(make.furnace(lining_rated_c=1300.0), peak_c=900.0)
    make.placed(charge, fire)
    make.lit(fire)
    make.wait(60)
    make.reading(fire, 903.0)
    make.came_out(fire, charge)
    make.off(fire)
    make.wait(300)
    make.touched(charge, 31.0)
    powder = make.opened(charge)
    for thing in (charge, vessel, fire, powder):
        assert says(make, thing, library) == []


def test_each_rule_that_was_broken(library: Library) -> None:
    """Lit in spite of a check, hotter than lining and crucible allow, opened hot."""
    make = Builder()
    charge, _vessel = one_charge(make)
    fire = make.firing(make.furnace(lining_rated_c=1050.0), peak_c=1200.0)
    make.check(fire, "light-co-alarm", answer="not-done")
    make.placed(charge, fire)
    make.add("lit", {"deviations": ["No CO alarm was tested."]}, fire)
    make.wait(60)
    make.reading(fire, 1104.0)
    make.came_out(fire, charge)
    make.touched(charge, 310.0)
    make.opened(charge)
    of_fire, of_charge = says(make, fire, library), says(make, charge, library)
    assert "Lit although: No CO alarm was tested." in of_fire
    assert "Not done: The CO alarm in this workspace rang when I pressed test now" in of_fire
    assert "The furnace read 1104 °C; the lining is rated to 1050 °C." in of_fire
    assert "Its crucible is rated to 1000 °C; the furnace read 1104 °C." in of_fire
    assert "Its crucible is rated to 1000 °C; the furnace read 1104 °C." in of_charge
    assert "Its crucible was opened before its own surface read below 40 °C." in of_charge
    assert "Its crucible was opened before its own surface read below 40 °C." not in of_fire


def test_damp_in_the_heat(library: Library) -> None:
    """Nobody recorded it dry."""
    make = Builder()
    charge, _vessel = one_charge(make, wet_g=14.0)
    fire = make.firing()
    make.placed(charge, fire)
    make.lit(fire)
    assert any("without being recorded dry" in say for say in says(make, charge, library))


def test_crucibles_and_jars(library: Library) -> None:
    """Filled twice, filled when cracked, more taken out than it held."""
    make = Builder()
    charge, vessel = one_charge(make)
    assert says(make, vessel, library) == []
    make.charge({"batch": make.ready_batch(), "g": 5.0}, crucible=vessel)
    assert "2 charges are recorded in it at the same time." in says(make, vessel, library)
    make.opened(charge)
    make.seen(vessel, "cracked")
    make.wait(5)
    make.charge({"batch": make.ready_batch(), "g": 5.0}, crucible=vessel)
    assert "It was filled although seen cracked." in says(make, vessel, library)
    jar = make.jar(net_g=5.0)
    make.weigh(make.batch(), 6.25, jar=jar)
    assert says(make, jar, library) == ["1.25 g more came out than went in."]


def test_a_recorded_decision_stays_in_sight(library: Library) -> None:
    """With the rule's reason, who decided and why; undone, it is gone."""
    make = Builder()
    batch = make.batch()
    data = {"rule": "froth-fill", "step": "load", "who": "Asha", "why": "tried before"}
    made = make.add("rule.overridden", data, batch)
    [say] = says(make, batch, library)
    assert library.rules["froth-fill"].in_general in say and "Asha: tried before" in say
    make.withdraw(made)
    assert says(make, batch, library) == []


def test_nothing_that_was_recorded_breaks_it(library: Library) -> None:
    """Whatever any device recorded, the flags of everything can be told."""
    for seed in range(30):
        make = Builder()
        make.records = history(range(seed * 1000, seed * 1000 + 60))
        for thing in THINGS:
            flags_of(make.state, thing, library)


def test_what_went_in_against_the_order_is_marked_on_the_charge_its_firing_and_today(library: Library) -> None:
    """Not placed there, in already, in a full crucible: each once, and nothing of it on the firing beside."""
    make = Builder()
    charge, vessel = one_charge(make)
    fire, other = make.firing(), make.firing()
    make.lit(fire)
    make.went_in(fire, charge)
    make.wait(5)
    make.went_in(fire, charge)
    code = "Its crucible"
    expected = [
        f"{code} went into a firing in which it was not placed.",
        f"{code} was recorded as going in while it was in the heat.",
    ]
    assert says(make, charge, library) == says(make, fire, library) == expected
    assert [[flag.say for flag in flags] for _charge, flags in today(make.state, make.now).broken] == [expected]
    assert says(make, other, library) == []
    second = make.charge({"batch": make.ready_batch(), "g": 5.0}, crucible=vessel)
    assert says(make, second, library) == [f"{code} was filled while it held another charge."]
    make.came_out(fire, charge)
    make.opened(charge)
    assert says(make, second, library) == [f"{code} was filled while it held another charge."], "it was so then"
    third = make.charge({"batch": make.ready_batch(), "g": 5.0})
    assert says(make, third, library) == []


def test_out_and_in_again_is_no_rule_broken(library: Library) -> None:
    """Placed before it was lit, out for a look, and in again."""
    make = Builder()
    charge, _vessel = one_charge(make)
    fire = make.firing()
    make.placed(charge, fire)
    make.lit(fire)
    make.wait(30)
    make.came_out(fire, charge)
    make.wait(5)
    make.went_in(fire, charge)
    assert says(make, charge, library) == []
    make.wait(5)
    make.went_in(fire, charge)
    assert len(says(make, charge, library)) == 1


def test_damp_is_a_flag_of_the_firing_in_which_it_first_went_in(library: Library) -> None:
    make = Builder()
    charge, _vessel = one_charge(make, wet_g=14.0)
    first, second = make.firing(), make.firing()
    make.placed(charge, first)
    make.lit(first)
    make.wait(60)
    make.came_out(first, charge)
    make.placed(charge, second)
    assert any("without being recorded dry" in say for say in says(make, first, library))
    assert says(make, second, library) == []
