"""A batch from its plan to the last gram: planned, weighing, weighed, mixed, used up, closed, failed; and damp."""

import pytest

from bench.workshop.things.batches import Batch, batch, is_damp
from tests.workshop.builder import BLUE, Builder


@pytest.fixture
def b() -> Builder:
    return Builder()


def view(b: Builder, thing: str) -> Batch:
    found = batch(b.state, thing)
    assert found is not None
    return found


def test_the_states_in_turn(b: Builder) -> None:
    thing = b.batch()
    assert view(b, thing).state == "planned"
    b.weigh(thing, 8.0)
    assert view(b, thing).state == "weighing"
    b.weigh(thing, 12.0, first=2)
    assert view(b, thing).state == "weighed"
    b.mixed(thing)
    assert view(b, thing).state == "mixed"
    b.charge({"batch": thing, "g": 12.5})
    assert view(b, thing).state == "mixed" and view(b, thing).left_g == pytest.approx(7.5)
    b.charge({"batch": thing, "g": 7.5})
    assert view(b, thing).state == "used-up"
    b.closed(thing)
    assert view(b, thing).state == "closed"


@pytest.mark.parametrize("reached", ["planned", "weighing", "weighed", "mixed", "used-up"])
def test_a_batch_may_fail_from_any_state(b: Builder, reached: str) -> None:
    thing = b.batch()
    if reached != "planned":
        b.weigh(thing, 8.0)
    if reached not in ("planned", "weighing"):
        b.weigh(thing, 12.0, first=2)
    if reached in ("mixed", "used-up"):
        b.mixed(thing)
    if reached == "used-up":
        b.charge({"batch": thing, "g": 20.0})
    assert view(b, thing).state == reached
    b.closed(thing, "failed")
    assert view(b, thing).state == "failed"
    assert thing not in b.state.open_things("batch")


def test_there_is_no_batch_without_a_plan(b: Builder) -> None:
    thing = b.batch()
    b.withdraw(thing)
    assert batch(b.state, thing) is None


def test_the_next_line_is_the_first_that_is_not_weighed(b: Builder) -> None:
    thing = b.batch()
    b.weigh(thing, 12.0, first=2)
    found = view(b, thing)
    assert found.next_line is not None and found.next_line.plan.line == 1
    b.weigh(thing, 8.0)
    assert view(b, thing).next_line is None
    assert [line.weighed_g for line in view(b, thing).lines] == [8.0, 12.0]


def test_a_weighing_of_no_planned_line_is_not_counted(b: Builder) -> None:
    thing = b.batch()
    b.weigh(thing, 8.0, 12.0, 5.0)
    assert view(b, thing).weighed_g == pytest.approx(20.0)


def test_of_two_weighings_the_first_counts_and_the_line_says_so(b: Builder) -> None:
    thing = b.batch()
    first = b.weigh(thing, 8.0)[0]
    second = b.weigh(thing, 9.0)[0]
    line = view(b, thing).lines[0]
    assert line.disagrees and line.weighed_g == 8.0
    b.correct(first, second, net_g=9.0)
    line = view(b, thing).lines[0]
    assert not line.disagrees and line.weighed_g == 9.0


def test_rescaling_changes_the_targets_and_undo_gives_them_back(b: Builder) -> None:
    thing = b.batch()
    rescaled = b.add("rescaled", {"product_factor": 1.1, "targets_g": [8.8, 13.2]}, thing)
    assert [line.target_g for line in view(b, thing).lines] == [8.8, 13.2]
    b.add("rescaled", {"product_factor": 1.2, "targets_g": [9.6]}, thing)  # does not fit the plan
    assert [line.target_g for line in view(b, thing).lines] == [8.8, 13.2]
    b.withdraw(rescaled)
    assert [line.target_g for line in view(b, thing).lines] == [8.0, 12.0]


def test_a_second_overshoot_counts_from_the_first(b: Builder) -> None:
    thing = b.batch()
    b.add("rescaled", {"product_factor": 1.1, "targets_g": [8.8, 13.2]}, thing)
    again = b.add("rescaled", {"product_factor": 1.25, "targets_g": [10.0, 15.0]}, thing)
    assert [line.target_g for line in view(b, thing).lines] == [10.0, 15.0]
    b.withdraw(again)
    assert [line.target_g for line in view(b, thing).lines] == [8.8, 13.2]


def test_a_batch_is_split_over_crucibles_and_spilled_from(b: Builder) -> None:
    thing, other = b.ready_batch(), b.ready_batch()
    one = b.charge({"batch": thing, "g": 6.0})
    two = b.charge({"batch": other, "g": 5.0}, {"batch": thing, "g": 4.0})
    b.lost(thing, 1.5)
    b.lost(thing, None, how="dust")  # nobody knows how much
    found = view(b, thing)
    assert found.charges == (one, two)
    assert found.loaded_g == pytest.approx(10.0) and found.lost_g == pytest.approx(1.5)
    assert found.left_g == pytest.approx(20.0 - 10.0 - 1.5)
    assert view(b, other).left_g == pytest.approx(15.0)


def test_two_fillings_that_disagree_are_not_counted_twice(b: Builder) -> None:
    thing = b.ready_batch()
    charge = b.charge({"batch": thing, "g": 6.0})
    filled = b.records[-1]
    b.add("charged", {**filled.data, "sources": [{"batch": thing, "g": 7.0}]}, charge)
    assert view(b, thing).loaded_g == pytest.approx(6.0) and view(b, thing).charges == (charge,)
    assert len(b.state.disagreements(charge)) == 1


# Damp ----------------------------------------------------------------------------------------------------------


def test_damp_until_two_equal_masses(b: Builder) -> None:
    thing = b.batch()
    b.weigh(thing, 8.0, 12.0)
    b.mixed(thing)
    assert view(b, thing).damp
    b.dried(thing, 20.4)
    assert view(b, thing).damp
    b.dried(thing, 20.0)
    assert view(b, thing).damp
    b.dried(thing, 20.0)
    assert not view(b, thing).damp


def test_wetting_makes_it_damp_again_and_the_masses_from_before_do_not_count(b: Builder) -> None:
    thing = b.ready_batch()
    assert not view(b, thing).damp
    b.mixed(thing, "alcohol")
    assert view(b, thing).damp
    b.dried(thing, 20.0)
    assert view(b, thing).damp  # one mass since, though it equals those before
    b.dried(thing, 20.0)
    assert not view(b, thing).damp


def test_mixing_it_dry_does_not_wet_it(b: Builder) -> None:
    thing = b.ready_batch()
    b.mixed(thing, "dry")
    assert not view(b, thing).damp


def test_a_batch_of_which_nobody_knows_is_damp(b: Builder) -> None:
    thing = b.batch()
    b.weigh(thing, 8.0, 12.0)
    b.mixed(thing, "dry")
    assert view(b, thing).damp


def test_what_was_dried_without_weighing_says_nothing(b: Builder) -> None:
    thing = b.batch()
    b.add("dried", {"where": "dish", "c": 110.0, "minutes": 600}, thing)
    b.add("dried", {"where": "dish", "c": 110.0, "minutes": 600}, thing)
    assert view(b, thing).damp


def test_a_withdrawn_mass_is_damp_again(b: Builder) -> None:
    thing = b.ready_batch()
    b.withdraw(b.records[-1])
    assert view(b, thing).damp


def test_a_wetting_entered_late_counts_when_it_happened(b: Builder) -> None:
    thing = b.batch()
    b.weigh(thing, 8.0, 12.0)
    b.dried(thing, 20.0, 20.0)  # at 60 and 120 minutes
    b.mixed(thing, happened=30)  # the sheet is typed in afterwards
    assert not view(b, thing).damp
    b.mixed(thing, happened=90)
    assert view(b, thing).damp


def test_dryings_entered_late_from_before_the_wetting_do_not_make_it_dry(b: Builder) -> None:
    thing = b.batch()
    b.weigh(thing, 8.0, 12.0)
    b.wait(100)
    b.mixed(thing)
    for happened in (10, 70):
        b.add("dried", {"where": "dish", "mass_g": 20.0}, thing, happened=happened)
    assert view(b, thing).damp


def test_masses_stand_in_the_order_of_their_times(b: Builder) -> None:
    thing = b.batch(BLUE)
    for happened, mass in ((300, 20.0), (200, 20.0), (100, 23.0)):
        b.add("dried", {"where": "dish", "mass_g": mass}, thing, happened=happened)
    assert not is_damp(b.state, thing)
