"""What a charge should weigh after the fire, and what a gap means.

The masses are the textbook's: calcium carbonate (100.087 g/mol) leaves lime (56.077 g/mol), 56.03 %; molar masses from
the IUPAC abridged atomic weights. That masses agree within 1 % of the charge is common practice.
"""

import pytest

from bench.reference import Library, load_library
from bench.workshop.expectation import GAP_FRACTION, HEAVIER, LIGHTER, expected_g, gap
from tests.workshop.builder import Builder, lines

CHALK = lines(("CaCO3", 10.0))
LEFT = 56.077 / 100.087


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library()


@pytest.fixture
def b() -> Builder:
    return Builder()


def chalk(b: Builder) -> str:
    return b.ready_batch(CHALK, name="lime", fired_g=10.0 * LEFT)


def test_the_planned_share_stays(b: Builder, library: Library) -> None:
    charge = b.charge({"batch": chalk(b), "g": 4.0})
    g, why = expected_g(b.state, charge, library)
    assert g == pytest.approx(2.2411, abs=1e-3) and why is None


def test_rescaling_does_not_change_the_share(b: Builder, library: Library) -> None:
    batch = chalk(b)
    b.add("rescaled", {"product_factor": 1.3, "targets_g": [13.0]}, batch)
    charge = b.charge({"batch": batch, "g": 4.0})
    assert expected_g(b.state, charge, library)[0] == pytest.approx(4.0 * LEFT)


def test_batches_add_up_and_what_was_fired_or_salted_stays(b: Builder, library: Library) -> None:
    batch = chalk(b)
    powder = b.opened(b.charge({"batch": batch, "g": 4.0}))
    charge = b.charge({"batch": batch, "g": 2.0}, {"pigment": powder, "g": 1.5}, {"jar": b.jar("NaCl"), "g": 0.5})
    assert expected_g(b.state, charge, library)[0] == pytest.approx(2.0 * LEFT + 2.0)


def test_a_known_loss_is_taken_off(b: Builder, library: Library) -> None:
    charge = b.charge({"batch": chalk(b), "g": 4.0})
    b.lost(charge, 0.2)
    assert expected_g(b.state, charge, library)[0] == pytest.approx(4.0 * LEFT - 0.2)


def test_without_a_fired_mass_or_a_plan_nothing_is_said_and_why(b: Builder, library: Library) -> None:
    for batch in (b.ready_batch(CHALK), b.new_id()):
        charge = b.charge({"batch": batch, "g": 4.0})
        g, why = expected_g(b.state, charge, library)
        assert g is None and why is not None and "fired mass" in why
    assert expected_g(b.state, b.new_id(), library) == (None, "There is no such charge.")
    assert gap(b.state, b.new_id(), library) is None


def test_a_plan_of_nothing_has_no_share(b: Builder, library: Library) -> None:
    nothing = b.batch(lines(("CaO", 0.0)), fired_g=1.0)
    assert expected_g(b.state, b.charge({"batch": nothing, "g": 1.0}), library)[0] is None


@pytest.mark.parametrize(
    ("came_out_g", "meaning"),
    [
        (10.0 * LEFT, None),
        (10.0 * LEFT + 0.099, None),
        (10.0 * LEFT - 0.099, None),
        (10.0 * LEFT + 0.11, HEAVIER),
        (10.0 * LEFT - 0.11, LIGHTER),
        (10.0, HEAVIER),  # it never gave off its gas
    ],
)
def test_a_gap_of_more_than_one_per_cent_of_the_charge_means_something(
    b: Builder, library: Library, came_out_g: float, meaning: str | None
) -> None:
    assert GAP_FRACTION == 0.01
    charge = b.charge({"batch": chalk(b), "g": 10.0}, crucible=b.crucible(40.0))
    before = gap(b.state, charge, library)
    assert before is not None and before.found_g is None and before.gap_g is None and before.meaning is None
    b.fired(charge)
    b.opened(charge, 40.0 + came_out_g)
    found = gap(b.state, charge, library)
    assert found is not None and found.charge_g == 10.0
    assert found.found_g == pytest.approx(came_out_g) and found.meaning == meaning


def test_of_two_charges_gathered_together_each_is_held_against_its_own_share(b: Builder, library: Library) -> None:
    batch = chalk(b)
    one, two = b.charge({"batch": batch, "g": 4.0}), b.charge({"batch": batch, "g": 6.0})
    b.fired(one, two)
    b.gathered({"charge": one, "g": 2.24}, {"charge": two, "g": 6.0})
    first, second = gap(b.state, one, library), gap(b.state, two, library)
    assert first is not None and first.found_g == pytest.approx(2.24) and first.meaning is None
    assert second is not None and second.found_g == pytest.approx(6.0) and second.meaning == HEAVIER
