"""What one crucible holds: damp or dry, placed, in heat, out and hot, cool, opened; carried over, broken, lost.

The safe side is what is tested hardest: what is damp, what is hot, how it may cool.
"""

import typing

import pytest

from bench.records.filing import fold_all
from bench.records.kinds import KINDS
from bench.steps import HOUSE
from bench.workshop.facts import facts
from bench.workshop.things.charges import Charge, charge, wet_with
from bench.workshop.things.crucibles import crucible
from tests.workshop.builder import Builder, moment


@pytest.fixture
def b() -> Builder:
    return Builder()


def view(b: Builder, thing: str) -> Charge:
    found = charge(b.state, thing)
    assert found is not None
    return found


def filled(b: Builder, **plan: object) -> str:
    return b.charge({"batch": b.ready_batch(**plan), "g": 20.0})


def test_the_states_in_turn(b: Builder) -> None:
    thing = filled(b)
    firing = b.firing()
    assert view(b, thing).state == "dry" and not view(b, thing).damp
    b.placed(thing, firing)
    assert view(b, thing).state == "placed"
    b.lit(firing)
    assert view(b, thing).state == "in-heat"
    b.wait(180)
    b.off(firing)
    assert view(b, thing).state == "in-heat"
    b.came_out(firing, thing, "sand bed")
    found = view(b, thing)
    assert found.state == "out-hot" and found.stay is not None and found.stay.rest_place == "sand bed"
    b.touched(thing, 180.0)
    assert view(b, thing).state == "out-hot"
    b.wait(20)
    b.touched(thing, 39.0)
    assert view(b, thing).state == "cool"
    powder = b.opened(thing)
    assert view(b, thing).state == "opened" and view(b, thing).pigment == powder


def test_there_is_no_charge_that_was_never_filled(b: Builder) -> None:
    thing = filled(b)
    b.withdraw(thing)
    assert charge(b.state, thing) is None


# Damp ----------------------------------------------------------------------------------------------------------


def test_a_charge_filled_damp_is_damp_until_it_is_dried_in_its_crucible(b: Builder) -> None:
    batch = b.batch()
    b.weigh(batch, 8.0, 12.0)
    b.mixed(batch)
    thing = b.charge({"batch": batch, "g": 20.0})
    assert view(b, thing).state == "damp"
    b.dried(thing, 62.4, 60.1, where="crucible")
    assert view(b, thing).state == "damp"
    b.dried(thing, 60.1, where="crucible")
    assert view(b, thing).state == "dry"


def test_drying_the_rest_of_the_batch_does_not_dry_what_is_in_the_crucible(b: Builder) -> None:
    batch = b.batch()
    b.weigh(batch, 8.0, 12.0)
    b.mixed(batch)
    thing = b.charge({"batch": batch, "g": 10.0})
    b.dried(batch, 10.0, 10.0)
    assert view(b, thing).damp
    later = b.charge({"batch": batch, "g": 10.0})
    assert not view(b, later).damp


def test_wetting_the_rest_of_the_batch_does_not_wet_what_is_in_the_crucible(b: Builder) -> None:
    batch = b.ready_batch()
    thing = b.charge({"batch": batch, "g": 10.0})
    b.mixed(batch)
    assert not view(b, thing).damp


def test_a_charge_weighed_wet_is_damp_whatever_its_batch_was(b: Builder) -> None:
    thing = b.charge({"batch": b.ready_batch(), "g": 20.0}, wet_g=23.0)
    assert view(b, thing).damp


def test_one_damp_source_makes_the_charge_damp(b: Builder) -> None:
    wet = b.batch()
    b.weigh(wet, 8.0, 12.0)
    b.mixed(wet)
    assert view(b, b.charge({"batch": b.ready_batch(), "g": 5.0}, {"batch": wet, "g": 5.0})).damp


def test_a_washed_powder_is_damp_until_it_was_weighed_dry_after_the_last_wash(b: Builder) -> None:
    first = filled(b)
    b.fired(first)
    powder = b.opened(first)
    assert not view(b, b.charge({"pigment": powder, "g": 1.0})).damp
    b.ground(powder, "water")
    b.washed(powder)
    assert view(b, b.charge({"pigment": powder, "g": 1.0})).damp
    b.dry_weighed(powder, 18.0)
    assert not view(b, b.charge({"pigment": powder, "g": 1.0})).damp
    b.ground(powder, "dry")
    assert not view(b, b.charge({"pigment": powder, "g": 1.0})).damp
    b.ground(powder, "water")
    b.wait(1)
    b.washed(powder, 2, happened=1)  # typed in late: an earlier wash
    assert view(b, b.charge({"pigment": powder, "g": 1.0})).damp
    b.dried(powder, 17.5, 17.5)
    assert not view(b, b.charge({"pigment": powder, "g": 1.0})).damp


# Too hot to touch ----------------------------------------------------------------------------------------------


def test_nothing_that_was_never_in_the_heat_is_hot(b: Builder) -> None:
    thing = filled(b)
    b.placed(thing, b.firing())
    assert not view(b, thing).was_hot and not view(b, thing).too_hot_to_touch


@pytest.mark.parametrize(("surface_c", "hot"), [(39.9, False), (40.0, True), (41.0, True), (-5.0, False)])
def test_only_a_reading_of_that_thing_below_40_clears_it(b: Builder, surface_c: float, hot: bool) -> None:
    thing, other = filled(b), filled(b)
    firing = b.firing()
    b.placed(thing, firing)
    b.placed(other, firing, column=2)
    b.lit(firing)
    b.wait(200)
    b.off(firing)
    b.came_out(firing, thing)
    b.came_out(firing, other)
    b.wait(600)
    b.reading(firing, 20.0)  # the furnace is cold: that says nothing
    assert view(b, thing).too_hot_to_touch
    b.touched(other, 20.0)  # its neighbour is cold: that says nothing
    assert view(b, thing).too_hot_to_touch
    b.touched(thing, surface_c)
    assert view(b, thing).too_hot_to_touch is hot


@pytest.mark.parametrize(
    ("before_c", "later_min", "again", "hot"),
    [
        (310.0, 1, (), True),
        (150.0, 4, (), True),
        (149.0, 1, (), False),
        (310.0, 5, (), False),
        (310.0, 1, (31.0,), False),
    ],
)
def test_one_that_reads_cold_at_once_is_read_a_second_time(
    b: Builder, before_c: float, later_min: int, again: tuple[float, ...], hot: bool
) -> None:
    thing, firing = filled(b), b.firing()
    b.placed(thing, firing)
    b.lit(firing)
    b.came_out(firing, thing)
    b.touched(thing, before_c)
    b.wait(later_min)
    for c in (31.0, *again):
        b.touched(thing, c)
    told = {thing: facts(b.state, thing) or {}}
    assert view(b, thing).too_hot_to_touch is hot and HOUSE.fact(told, thing, ["hot"]) is hot
    assert view(b, thing).state == ("out-hot" if hot else "cool")


def test_a_reading_from_before_the_heat_does_not_clear_it(b: Builder) -> None:
    thing = filled(b)
    b.touched(thing, 20.0)
    firing = b.firing()
    b.placed(thing, firing)
    b.touched(thing, 20.0)
    b.lit(firing)
    b.wait(1)
    b.touched(thing, 25.0)  # still cold to the hand just after lighting
    assert view(b, thing).too_hot_to_touch and view(b, thing).state == "in-heat"
    b.wait(200)
    b.off(firing)
    assert view(b, thing).too_hot_to_touch
    b.closed(firing)
    assert view(b, thing).too_hot_to_touch and view(b, thing).state == "out-hot"


def test_what_cooled_in_the_furnace_is_cleared_by_its_own_reading_after_the_fire(b: Builder) -> None:
    thing = filled(b)
    firing = b.firing()
    b.placed(thing, firing)
    b.lit(firing)
    b.wait(200)
    b.off(firing)
    b.wait(900)
    b.touched(thing, 24.0)
    assert view(b, thing).state == "in-heat" and not view(b, thing).too_hot_to_touch
    b.came_out(firing, thing)
    assert view(b, thing).too_hot_to_touch  # moved since: read it again
    b.touched(thing, 24.0)
    assert view(b, thing).state == "cool"


def test_the_last_reading_counts_by_the_time_it_was_taken(b: Builder) -> None:
    thing = filled(b)
    firing = b.fired(thing)
    assert not view(b, thing).too_hot_to_touch
    out = view(b, thing).residences[0].came_out
    assert out is not None
    minutes = (out - moment(0)).total_seconds() / 60
    b.touched(thing, 300.0, happened=minutes + 5)  # typed in late: it was hot then
    assert not view(b, thing).too_hot_to_touch
    b.touched(thing, 55.0)  # and somebody finds it warm now
    assert view(b, thing).too_hot_to_touch
    assert firing == view(b, thing).residences[0].firing


def test_a_withdrawn_reading_makes_it_hot_again(b: Builder) -> None:
    thing = filled(b)
    b.fired(thing)
    b.withdraw(b.records[-1])
    assert view(b, thing).too_hot_to_touch and view(b, thing).state == "out-hot"


def test_coming_out_of_a_furnace_of_which_nothing_is_known_is_hot(b: Builder) -> None:
    thing = filled(b)
    b.came_out(b.firing(), thing)  # its lighting and its placing have not arrived from the other phone
    assert view(b, thing).state == "out-hot" and view(b, thing).too_hot_to_touch


# Stays ---------------------------------------------------------------------------------------------------------


def test_carrying_over_keeps_the_charge_and_adds_a_firing(b: Builder) -> None:
    thing = filled(b)
    first = b.fired(thing)
    second = b.firing()
    b.placed(thing, second)
    found = view(b, thing)
    assert found.state == "placed" and [s.firing for s in found.residences] == [first, second]
    assert found.dry_g == pytest.approx(20.0)
    b.lit(second)
    assert view(b, thing).state == "in-heat" and view(b, thing).too_hot_to_touch
    b.wait(100)
    b.off(second)
    b.came_out(second, thing)
    assert view(b, thing).state == "out-hot"
    assert [s.came_out is not None for s in view(b, thing).residences] == [True, True]


def test_carried_over_while_hot_it_is_still_hot_while_it_waits(b: Builder) -> None:
    thing = filled(b)
    firing = b.fired(thing)
    b.withdraw(b.records[-1])  # nobody touched it
    b.placed(thing, b.firing())
    assert view(b, thing).state == "placed" and view(b, thing).too_hot_to_touch
    assert view(b, thing).residences[0].firing == firing


def test_all_out_now_takes_out_what_is_in_and_is_told_apart_later(b: Builder) -> None:
    one, two, gone = filled(b), filled(b), filled(b)
    firing = b.firing()
    for column, thing in enumerate((one, two, gone), 1):
        b.placed(thing, firing, column=column)
    b.lit(firing)
    b.wait(60)
    b.came_out(firing, gone, "brick")
    earlier = view(b, gone).residences[0].came_out
    b.wait(10)
    everything = b.all_out(firing, "sand")
    for thing in (one, two):
        found = view(b, thing)
        assert found.state == "out-hot" and found.residences[0].came_out == everything.when
        assert found.residences[0].rest_place == "sand"
    assert view(b, gone).residences[0].came_out == earlier and view(b, gone).residences[0].rest_place == "brick"
    told = b.minutes - 0.5
    b.wait(30)
    b.came_out(firing, two, "tongs, then steel plate", happened=told)
    found = view(b, two)
    assert found.residences[0].came_out == moment(told) and found.residences[0].rest_place == "tongs, then steel plate"
    assert view(b, one).residences[0].came_out == everything.when


def test_all_out_in_the_very_minute_of_the_lighting_takes_it_out(b: Builder) -> None:
    """Both entered late, to the minute: what went in then came out then."""
    thing, firing = b.charge({"batch": b.ready_batch(), "g": 20.0}), b.firing()
    b.placed(thing, firing)
    minute = round(b.minutes) + 5
    b.wait(60)
    b.lit(firing, happened=minute)
    b.all_out(firing, happened=minute)
    stay = view(b, thing).stay
    assert stay is not None and stay.went_in == stay.came_out == moment(minute)


def test_all_out_before_a_charge_went_in_is_not_about_it(b: Builder) -> None:
    early, late = filled(b), filled(b)
    firing = b.firing()
    b.placed(early, firing)
    b.lit(firing)
    b.wait(60)
    b.all_out(firing)
    b.wait(5)
    placed = b.placed(late, firing, column=2)
    assert view(b, early).state == "out-hot"
    assert view(b, late).state == "in-heat" and view(b, late).residences[0].went_in == placed.when


def test_all_in_at_once_counts_from_then_and_not_from_the_lighting(b: Builder) -> None:
    thing = filled(b)
    firing = b.firing()
    b.placed(thing, firing)
    b.lit(firing)
    b.wait(90)
    together = b.add("went.in", {"firing": firing, "all": True}, firing)
    assert view(b, thing).residences[0].went_in == together.when


def test_out_for_a_look_and_in_again_is_in_the_heat(b: Builder) -> None:
    thing = filled(b)
    firing = b.firing()
    b.placed(thing, firing)
    lit = b.lit(firing)
    b.wait(60)
    b.came_out(firing, thing)
    b.touched(thing, 30.0)
    b.wait(2)
    b.went_in(firing, thing)
    found = view(b, thing)
    assert found.state == "in-heat" and found.too_hot_to_touch
    b.wait(30)
    out = b.came_out(firing, thing)
    assert view(b, thing).residences[0].came_out == out.when
    assert lit.when < out.when


def test_what_went_in_without_a_place_is_in_the_heat_all_the_same(b: Builder) -> None:
    thing = filled(b)
    firing = b.firing()
    b.lit(firing)
    b.wait(20)
    went = b.add("went.in", {"firing": firing}, thing)  # the subject says which one
    found = view(b, thing)
    assert found.state == "in-heat" and found.residences[0].went_in == went.when and found.residences[0].placed is None


def test_two_placings_in_one_firing_that_disagree_are_one_stay(b: Builder) -> None:
    thing = filled(b)
    firing = b.firing()
    b.placed(thing, firing, column=1)
    b.placed(thing, firing, column=2)
    found = view(b, thing)
    assert (
        len(found.residences) == 1 and found.residences[0].placed is not None and found.residences[0].placed.column == 1
    )
    assert len(b.state.disagreements(thing)) == 1


def test_a_charge_placed_elsewhere_before_the_fire_is_not_in_it(b: Builder) -> None:
    thing = filled(b)
    first, second = b.firing(), b.firing()
    b.placed(thing, first)
    b.placed(thing, second)
    b.lit(first)
    found = view(b, thing)
    assert found.state == "placed" and [s.firing for s in found.residences] == [second] and not found.too_hot_to_touch
    b.lit(second)
    assert view(b, thing).state == "in-heat"


@pytest.mark.parametrize("how", ["closed", "withdrawn"])
def test_a_firing_that_never_was_sets_its_charges_free(b: Builder, how: str) -> None:
    thing = filled(b)
    firing = b.firing()
    b.placed(thing, firing)
    if how == "closed":
        b.closed(firing, "called off")
    else:
        b.withdraw(firing)
    assert view(b, thing).state == "dry" and view(b, thing).residences == ()


def test_stays_entered_late_stand_by_their_times(b: Builder) -> None:
    thing = filled(b)
    b.wait(2000)
    second = b.firing()
    b.placed(thing, second)
    first = b.firing()
    b.placed(thing, first, happened=200)
    b.lit(first, happened=210)
    b.came_out(first, thing, happened=500)
    b.off(first, happened=490)
    found = view(b, thing)
    assert [s.firing for s in found.residences] == [first, second]
    assert found.residences[0].went_in == moment(210) and found.residences[0].came_out == moment(500)
    assert found.state == "placed" and found.too_hot_to_touch


# Losses --------------------------------------------------------------------------------------------------------


def test_broken_in_the_fire_it_is_lost_and_the_crucible_is_free_of_it(b: Builder) -> None:
    vessel = b.crucible()
    thing = b.charge({"batch": b.ready_batch(), "g": 20.0}, crucible=vessel)
    b.fired(thing)
    b.lost(thing, 12.0, "breakage")
    assert view(b, thing).state == "cool" and view(b, thing).lost_g == pytest.approx(12.0)
    b.seen(vessel, "broken")
    b.closed(thing, "lost")
    assert view(b, thing).state == "lost" and thing not in b.state.open_things("charge")
    found = crucible(b.state, vessel)
    assert found is not None and found.standing == "ended" and found.holds is None


def test_gathering_what_is_left_ends_the_charge_and_makes_a_powder(b: Builder) -> None:
    one, two = filled(b), filled(b)
    b.fired(one, two)
    powder = b.gathered({"charge": one, "g": 7.0}, {"charge": two, "g": 9.0})
    for thing in (one, two):
        assert view(b, thing).state == "opened" and view(b, thing).pigment == powder
    assert b.state.open_things("charge") == []
    b.withdraw(powder)
    assert b.state.open_things("charge") == [one, two] and view(b, one).state == "cool"


def test_a_gathering_that_disagrees_with_another_empties_its_crucible_too(b: Builder) -> None:
    one, two = filled(b), filled(b)
    powder = b.gathered({"charge": one, "g": 7.0})
    b.add("gathered", {"sources": [{"charge": two, "g": 7.0}]}, powder)
    assert b.state.open_things("charge") == [] and len(b.state.disagreements(powder)) == 1
    assert fold_all(reversed(b.records)).open_things("charge") == []


# Cooling -------------------------------------------------------------------------------------------------------


GENTLEST_FIRST = ["unknown", "controlled", "slow", "in-furnace", "either", "fast", "quench-water"]


def test_every_cooling_has_its_rank() -> None:
    hint = typing.get_type_hints(KINDS["batch.planned"].data)["cooling_mode"]
    assert sorted(typing.get_args(hint)) == sorted(GENTLEST_FIRST)


@pytest.mark.parametrize("gentle", range(len(GENTLEST_FIRST)))
@pytest.mark.parametrize("swap", [False, True])
def test_a_mixed_charge_cools_as_gently_as_its_gentlest_part(b: Builder, gentle: int, swap: bool) -> None:
    for quick in range(gentle, len(GENTLEST_FIRST)):
        modes = [GENTLEST_FIRST[gentle], GENTLEST_FIRST[quick]]
        sources = [{"batch": b.batch(cooling_mode=mode), "g": 5.0} for mode in (modes[::-1] if swap else modes)]
        assert view(b, b.charge(*sources)).cooling_mode == GENTLEST_FIRST[gentle]


def test_a_part_without_a_plan_makes_the_cooling_unknown(b: Builder) -> None:
    known = b.batch(cooling_mode="fast", cooling_basis="read", hot_pull=True)
    missing = b.batch(cooling_mode="fast", cooling_basis="read", hot_pull=True)
    thing = b.charge({"batch": known, "g": 5.0}, {"batch": missing, "g": 5.0})
    assert (view(b, thing).cooling_mode, view(b, thing).hot_pull) == ("fast", True)
    b.withdraw(missing)
    found = view(b, thing)
    assert (found.cooling_mode, found.cooling_basis, found.hot_pull) == ("unknown", "unknown", False)


def test_a_salt_straight_from_the_jar_does_not_hide_the_batchs_cooling(b: Builder) -> None:
    thing = b.charge({"batch": b.batch(cooling_mode="fast"), "g": 5.0}, {"jar": b.jar("KCl"), "g": 2.0})
    assert view(b, thing).cooling_mode == "fast"
    assert view(b, b.charge({"jar": b.jar("KCl"), "g": 2.0})).cooling_mode == "unknown"


def test_the_weakest_ground_counts_and_one_slow_part_forbids_the_hot_pull(b: Builder) -> None:
    read = b.batch(cooling_mode="fast", cooling_basis="read", hot_pull=True)
    recalled = b.batch(cooling_mode="fast", cooling_basis="memory", hot_pull=True)
    gentle = b.batch(cooling_mode="slow", cooling_basis="read")
    both = view(b, b.charge({"batch": read, "g": 5.0}, {"batch": recalled, "g": 5.0}))
    assert (both.cooling_mode, both.cooling_basis, both.hot_pull) == ("fast", "memory", True)
    other = view(b, b.charge({"batch": read, "g": 5.0}, {"batch": gentle, "g": 5.0}))
    assert (other.cooling_mode, other.cooling_basis, other.hot_pull) == ("slow", "read", False)
    odd = view(b, b.charge({"batch": read, "g": 5.0}, {"batch": b.batch(cooling_basis="a friend"), "g": 5.0}))
    assert odd.cooling_basis == "a friend"


def test_the_next_generation_cools_as_the_batches_it_came_from(b: Builder) -> None:
    first = filled(b, cooling_mode="slow")
    b.fired(first)
    powder = b.opened(first)
    second = b.charge({"pigment": powder, "g": 9.0}, {"batch": b.batch(cooling_mode="fast"), "g": 1.0})
    assert view(b, second).cooling_mode == "slow"
    assert set(view(b, second).batches) == {view(b, first).batches[0], view(b, second).charged.sources[1].batch}
    stray = b.charge({"pigment": b.new_id(), "g": 9.0})  # a powder of which this bench knows nothing
    assert view(b, stray).cooling_mode == "unknown"


def test_a_powder_parted_off_wet_is_wet_with_the_liquid_of_its_source_until_it_is_weighed_dry(b: Builder) -> None:
    """Alcohol burns, and rinsing or parting takes none of it out; a water wetting after a drying is water alone."""
    source = b.opened(b.charge({"batch": b.ready_batch(), "g": 5.0}), 49.0, tare_after_g=40.0)
    assert wet_with(b.state, source) is None
    b.add("ground", {"medium": "alcohol"}, source)
    b.add("washed", {"round": 1}, source)
    part = b.add("gathered", {"sources": [{"pigment": source, "g": 1.0}]}).subject
    assert wet_with(b.state, source) == wet_with(b.state, part) == "alcohol"
    b.add("dry.weighed", {"net_g": 4.0}, source)
    assert wet_with(b.state, source) is None and wet_with(b.state, part) == "alcohol"
    b.add("washed", {"round": 2}, source)
    assert wet_with(b.state, source) == "water"
