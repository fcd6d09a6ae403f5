"""What a powder was made from, the salt in it, and what it lacks of its target."""

import pytest

from bench.reference import Library, load_library
from bench.workshop.contents import held, salts
from bench.workshop.making_up import make_up
from tests.workshop.builder import BLUE, Builder, lines

# From the abridged standard atomic weights (IUPAC 2021): Co3O4 240.795, Al(OH)3 78.003. One mole of CoAl2O4 takes a
# third of a mole of Co3O4, 80.265 g, and two of Al(OH)3, 156.006 g.
CO3O4_G, ALOH3_G = 80.265, 156.006
SALTED = lines(("ZnO", 5.0), ("KCl", 15.0, "washed-out"))


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library()


def test_a_powder_holds_the_share_of_each_line_that_its_charge_held() -> None:
    b = Builder()
    batch = b.ready_batch()
    thing = b.opened(b.charge({"batch": batch, "g": 5.0}))
    assert {one.formula: one.g for one in held(b.state, thing)} == pytest.approx({"Co3O4": 2.0, "Al(OH)3": 3.0})


def test_what_was_fired_again_holds_the_share_of_the_powder_that_went_in() -> None:
    b = Builder()
    first = b.opened(b.charge({"batch": b.ready_batch(), "g": 20.0}), 58.0, tare_after_g=40.0)
    b.dry_weighed(first, 16.0)
    second = b.opened(b.charge({"pigment": first, "g": 8.0}))
    assert {one.formula: one.g for one in held(b.state, second)} == pytest.approx({"Co3O4": 4.0, "Al(OH)3": 6.0})


def test_what_was_gathered_holds_all_that_it_was_gathered_from() -> None:
    b = Builder()
    charge = b.charge({"batch": b.ready_batch(), "g": 10.0})
    thing = b.gathered({"charge": charge, "g": 6.0})
    assert sum(one.g for one in held(b.state, thing)) == pytest.approx(10.0)


def test_a_ring_of_powders_is_told_once() -> None:
    b = Builder()
    assert held(b.state, b.new_id()) == ()


def test_the_salt_is_that_of_the_flux_and_what_earlier_rinses_left() -> None:
    b = Builder()
    first = b.opened(b.charge({"batch": b.ready_batch(SALTED), "g": 20.0}), 60.0, tare_after_g=40.0)
    assert [(one.formula, one.g) for one in salts(b.state, first)] == [("KCl", pytest.approx(15.0))]
    b.washed(first)
    b.washed(first, 2)
    b.dry_weighed(first, 5.0)
    jar = b.jar("NaCl", "sodium chloride")
    again = b.opened(b.charge({"pigment": first, "g": 5.0}, {"jar": jar, "g": 2.0}))
    # A tenth of a tenth of 15 g, and the fresh salt whole.
    assert {one.formula: one.g for one in salts(b.state, again)} == pytest.approx({"KCl": 0.15, "NaCl": 2.0})


def test_what_is_short_is_made_up_to_what_there_is_most_of(library: Library) -> None:
    b = Builder()
    batch = b.ready_batch(BLUE, target_formula="CoAl2O4", target="cobalt-aluminate-blue")
    thing = b.opened(b.charge({"batch": batch, "g": 20.0}), 58.0, tare_after_g=40.0)
    found = make_up(b.state, thing, library)
    assert found.why_not is None and found.powder_g == pytest.approx(18.0)
    assert [one.held.formula for one in found.adds] == ["Al(OH)3"]
    assert found.adds[0].add_g == pytest.approx(8.0 * ALOH3_G / CO3O4_G - 12.0, rel=2e-4)
    b.dry_weighed(thing, 18.0)
    b.charge({"pigment": thing, "g": 9.0})  # half of it is gone
    assert make_up(b.state, thing, library).adds[0].add_g == pytest.approx(
        (8.0 * ALOH3_G / CO3O4_G - 12.0) / 2, rel=2e-4
    )


def test_a_powder_that_agrees_with_its_target_lacks_nothing(library: Library) -> None:
    b = Builder()
    planned = lines(("Co3O4", CO3O4_G / 10), ("Al(OH)3", ALOH3_G / 10))
    thing = b.opened(b.charge({"batch": b.ready_batch(planned, target_formula="CoAl2O4"), "g": 10.0}))
    found = make_up(b.state, thing, library)
    assert len(found.lines) == 2 and found.adds == ()


def test_what_cannot_be_made_up_says_why(library: Library) -> None:
    b = Builder()
    without = b.opened(b.charge({"batch": b.ready_batch(), "g": 20.0}))
    assert "no target" in (make_up(b.state, without, library).why_not or "")
    batch = b.ready_batch(lines(("ZnO", 5.0)), target_formula="ZnFe2O4")
    iron = b.opened(b.charge({"batch": batch, "g": 5.0}))
    assert "Fe" in (make_up(b.state, iron, library).why_not or "")
