"""A firing from its plan to the checks after it, its curve, its load, and that it never stands in another one's way."""

import pytest

from bench.reference import load_library
from bench.workshop.asked import listed, still_open
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import Firing, answers, charges_in, curve, firing, occupied
from tests.workshop.builder import Builder, moment

LIBRARY = load_library()


@pytest.fixture
def b() -> Builder:
    return Builder()


def view(b: Builder, thing: str) -> Firing:
    found = firing(b.state, thing)
    assert found is not None
    return found


def test_the_states_in_turn(b: Builder) -> None:
    thing = b.firing(peak_c=1200.0)
    assert view(b, thing).state == "planned" and not view(b, thing).burning
    b.check(thing)
    assert view(b, thing).state == "checked"
    lit = b.lit(thing)
    assert view(b, thing).state == "lit" and view(b, thing).burning and view(b, thing).lit_at == lit.when
    b.wait(100)
    b.reading(thing, 1100.0)
    assert view(b, thing).state == "lit"
    b.wait(60)
    held = b.reading(thing, 1191.0)
    assert view(b, thing).state == "soaking" and view(b, thing).soak_start == held.when
    b.wait(60)
    off = b.off(thing)
    assert view(b, thing).state == "off" and not view(b, thing).burning and view(b, thing).off_at == off.when
    b.check(thing, "Valves shut", phase="after-shutdown")
    assert view(b, thing).state == "after-checks"
    b.closed(thing)
    assert view(b, thing).state == "closed" and view(b, thing).closed
    assert b.state.open_things("firing") == []


def test_there_is_no_firing_without_a_plan_or_without_a_schedule(b: Builder) -> None:
    empty = b.firing(segments=[])
    assert firing(b.state, empty) is None and firing(b.state, b.furnace()) is None


def test_it_is_named_by_its_plan_or_by_its_furnace(b: Builder) -> None:
    furnace = b.furnace("electric")
    assert view(b, b.firing(furnace)).name == "forge"
    assert view(b, b.firing(furnace, name="Tuesday")).name == "Tuesday"
    assert view(b, b.firing(b.new_id())).name == "Firing"  # its furnace is not known here yet


def test_the_soak_is_the_hottest_held_stretch(b: Builder) -> None:
    segments = [
        {"to_c": 600.0, "hold_min": 30.0},
        {"to_c": 1100.0, "hold_min": 45.0},
        {"to_c": 1150.0},
        {"to_c": 900.0, "hold_min": 20.0},
    ]
    found = view(b, b.firing(segments=segments))
    assert found.soak.to_c == 1100.0 and found.peak_c == 1150.0
    assert view(b, b.firing(segments=[{"to_c": 500.0}, {"to_c": 800.0}])).soak.to_c == 800.0


# Checks --------------------------------------------------------------------------------------------------------


def held(b: Builder, thing: str) -> set[str]:
    """The items that stand answered with not done and keep the key for lighting shut."""
    found = still_open(listed(b.state, LIBRARY, "before-lighting", thing), "light")
    return {one.item.slug for one in found if one.answered is not None}


def test_an_answer_other_than_done_is_not_checked_and_a_newer_one_takes_its_place(b: Builder) -> None:
    thing = b.firing()
    b.check(thing, "light-zone")
    stop = b.check(thing, "light-way-out", "not-done")
    assert view(b, thing).state == "planned" and held(b, thing) == {"light-way-out"}
    b.check(thing, "light-way-out", "done")
    assert view(b, thing).state == "checked" and not held(b, thing)
    assert set(answers(b.state, thing, "before-lighting")) == {"light-zone", "light-way-out"}
    b.withdraw(b.records[-1])  # a tick taken back blocks again
    assert held(b, thing) == {"light-way-out"}
    b.withdraw(stop)
    assert not held(b, thing)
    b.check(thing, "light-purge", "not-done")
    assert view(b, thing).state == "planned"


def test_lit_without_its_checks_it_burns_all_the_same_and_the_stop_stays_to_be_seen(b: Builder) -> None:
    thing = b.firing()
    b.check(thing, "light-way-out", "not-done")
    b.add("lit", {"deviations": ["Regulator"]}, thing)
    found = view(b, thing)
    assert found.burning and found.deviations == ("Regulator",) and held(b, thing)
    b.reading(thing, 400.0)
    assert curve(b.state, thing)  # and recording goes on


# The curve -----------------------------------------------------------------------------------------------------


def test_readings_stand_on_the_curve_by_the_time_they_were_taken(b: Builder) -> None:
    thing = b.firing()
    b.lit(thing)
    b.wait(120)
    b.reading(thing, 700.0)
    b.reading(thing, 450.0, happened=60)
    b.reading(thing, 650.0, happened=100)
    start = (view(b, thing).lit_at or moment(0)) - moment(0)
    expected = [(60 - start.total_seconds() / 60, 450.0), (100 - start.total_seconds() / 60, 650.0)]
    found = curve(b.state, thing)
    assert found[:2] == [pytest.approx(p) for p in expected] and found[2][1] == 700.0
    last = view(b, thing).last_reading
    assert last is not None and last.body.c == 700.0


def test_a_curve_without_a_lighting_starts_at_its_first_reading(b: Builder) -> None:
    thing = b.firing()
    assert curve(b.state, thing) == []
    b.reading(thing, 300.0)
    b.wait(10)
    b.reading(thing, 400.0)
    assert curve(b.state, thing) == [(0.0, 300.0), (pytest.approx(10 + 1 / 60), 400.0)]


def test_a_corrected_reading_keeps_its_time(b: Builder) -> None:
    thing = b.firing()
    b.lit(thing)
    b.wait(60)
    wrong = b.reading(thing, 1200.0)
    b.wait(30)
    assert view(b, thing).state == "soaking"
    b.correct(wrong, c=120.0)
    assert view(b, thing).state == "lit"
    assert curve(b.state, thing) == [(pytest.approx(60 + 1 / 60), 120.0)]


# Off and on ----------------------------------------------------------------------------------------------------


def test_the_last_going_out_counts(b: Builder) -> None:
    thing = b.firing()
    b.lit(thing)
    b.wait(30)
    b.off(thing, "out-of-gas")
    b.wait(5)
    last = b.off(thing, "fault")
    found = view(b, thing)
    assert found.off is not None and found.off.reason == "fault" and found.off_at == last.when


def test_lit_again_it_burns_again(b: Builder) -> None:
    thing = b.firing()
    first = b.lit(thing)
    b.wait(30)
    b.off(thing, "out-of-gas")
    assert not view(b, thing).burning
    b.wait(20)
    b.lit(thing)
    found = view(b, thing)
    assert found.burning and found.state == "lit" and found.lit_at == first.when
    b.wait(100)
    b.off(thing)
    assert not view(b, thing).burning


def test_an_end_entered_late_is_an_end(b: Builder) -> None:
    thing = b.firing()
    b.lit(thing)
    b.wait(600)
    b.off(thing, happened=240)
    assert view(b, thing).off_at == moment(240) and view(b, thing).state == "off"


def test_an_undone_end_burns_on(b: Builder) -> None:
    thing = b.firing()
    b.lit(thing)
    b.withdraw(b.off(thing))
    assert view(b, thing).burning


def test_an_end_without_a_lighting_is_an_end(b: Builder) -> None:
    thing = b.firing()
    b.off(thing, "emergency")
    assert view(b, thing).state == "off" and not view(b, thing).burning


# The load ------------------------------------------------------------------------------------------------------


def test_the_load_in_the_order_of_placing_and_who_stands_where(b: Builder) -> None:
    thing = b.firing()
    one, two, three = (b.charge({"batch": b.batch(), "g": 5.0}) for _ in range(3))
    b.placed(two, thing, row=1, column=1)
    b.placed(one, thing, row=1, column=2)
    b.lit(thing)
    b.went_in(thing, three)
    assert charges_in(b.state, thing) == (two, one, three) and view(b, thing).charges == (two, one, three)
    assert occupied(b.state, thing) == {(1, 1, 1, None): two, (1, 1, 2, None): one}


def test_a_place_by_the_clock(b: Builder) -> None:
    thing = b.firing(b.furnace(layout="ring", places=6))
    one = b.charge({"batch": b.batch(), "g": 5.0})
    b.add("placed", {"firing": thing, "clock": 3}, one)
    assert occupied(b.state, thing) == {(1, None, None, 3): one}


def test_one_firing_never_blocks_opening_the_charges_of_another(b: Builder) -> None:
    done = b.charge({"batch": b.ready_batch(), "g": 5.0})
    first = b.fired(done)
    second = b.firing()
    b.lit(second)
    b.check(second, "light-zone", "not-done")
    found = charge(b.state, done)
    assert found is not None and found.state == "cool"
    b.opened(done)
    opened = charge(b.state, done)
    assert opened is not None and opened.state == "opened"
    assert view(b, first).state == "off" and view(b, second).state == "lit"  # neither of them is closed yet


def test_what_went_in_without_a_place_or_was_moved_on_stands_at_no_place(b: Builder) -> None:
    thing, other = b.firing(), b.firing()
    stays, moved, thrown_in = (b.charge({"batch": b.batch(), "g": 5.0}) for _ in range(3))
    b.placed(stays, thing)
    b.placed(moved, thing, column=2)
    b.placed(moved, other)
    b.went_in(thing, thrown_in)
    assert occupied(b.state, thing) == {(1, 1, 1, None): stays}
    assert occupied(b.state, other) == {(1, 1, 1, None): moved}
