"""A schedule against furnace, ware, target and gas: what is pointed out, and what is not."""

import pytest

from bench.records.kinds import FurnaceDescribed, Segment
from bench.reference import Library, load_library
from bench.workshop.schedules import check_schedule, ramp_words, target_words
from tests.workshop.builder import Builder, lines


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library()


def rules(segments: list[Segment], library: Library, b: Builder | None = None, *load: str) -> list[str]:
    state = (b or Builder()).state
    furnace = FurnaceDescribed("forge", "gas", ceiling_c=1200.0, lining_rated_c=1150.0)
    return [one.rule for one in check_schedule(segments, furnace, load, state, library)]


def test_the_furnace_and_its_lining(library: Library) -> None:
    assert rules([Segment(1100.0)], library) == []
    assert rules([Segment(1180.0)], library) == ["over-lining"]
    assert rules([Segment(1250.0)], library) == ["over-ceiling", "over-lining"]


def test_a_fire_longer_than_one_watch_asks_who_takes_over(library: Library) -> None:
    """At 100 °C an hour to 920 °C is 9 h; a fire is never left to a timer."""
    assert "long-watch" in rules([Segment(920.0, 100.0)], library)
    assert "long-watch" in rules([Segment(900.0, hold_min=600.0)], library)
    assert "long-watch" not in rules([Segment(920.0, 300.0, 120.0)], library)
    found = check_schedule([Segment(900.0, hold_min=600.0)], None, (), Builder().state, library)
    assert "A hot furnace must be watched" in found[0].say and "K2" in found[0].sources and found[0].effect == "flag"


def test_the_ramp_of_a_ware(library: Library) -> None:
    # Alumina 4 °C a minute at most, porcelain 5, and half of that through 20 to 300 and 500 to 650 °C.
    assert ramp_words([Segment(900.0, 240.0)], "alumina-99", library) == ""
    assert "5.0 °C a minute; alumina 99 takes 4" in ramp_words([Segment(900.0, 300.0)], "alumina-99", library)
    assert "takes 2.5 at most through 20 °C" in ramp_words([Segment(900.0, 240.0)], "glazed-porcelain", library)
    slow = [Segment(300.0, 120.0), Segment(480.0, 290.0)]
    assert ramp_words(slow, "glazed-porcelain", library) == ""
    assert "through 500 °C" in ramp_words([*slow, Segment(900.0, 290.0)], "glazed-porcelain", library)
    assert ramp_words([Segment(900.0), Segment(20.0, 6000.0)], "glazed-porcelain", library) == ""


def test_the_window_of_the_target(library: Library) -> None:
    # Egyptian blue as the library has it: its window is read there, and held against what it says.
    target = library.targets["egyptian-blue"]
    low, high, short = target.soak_low_c, target.soak_high_c, target.soak_min_minutes
    assert low is not None and high is not None and short is not None
    fine = Segment((low + high) / 2, hold_min=short)
    assert [rule for rule, _ in target_words([fine], target)] == []
    assert [rule for rule, _ in target_words([Segment(low - 50, hold_min=short)], target)] == ["under-window"]
    assert "over-window" in [rule for rule, _ in target_words([Segment(high + 50, hold_min=short)], target)]
    assert [rule for rule, _ in target_words([Segment(low, hold_min=short / 2)], target)] == ["short-soak"]
    reducing = Segment(low, hold_min=short, atmosphere="reducing")
    assert [rule for rule, _ in target_words([reducing], target)] == ["atmosphere"]
    oxidising = Segment(low, hold_min=short, atmosphere="oxidising")
    assert [rule for rule, _ in target_words([oxidising], target)] == []


def test_a_gas_is_given_its_hold(library: Library) -> None:
    b = Builder()
    batch = b.ready_batch(lines(("CaCO3", 10.0), ("SiO2", 10.0)))
    load = b.charge({"batch": batch, "g": 20.0}, crucible=b.crucible(ware="alumina-99"))
    assert rules([Segment(1000.0, 200.0, 60.0)], library, b, load) == ["no-gas-hold"]
    held = [Segment(750.0, 200.0, 30.0), Segment(1000.0, 200.0, 60.0)]
    assert rules(held, library, b, load) == []
    # A fire that never gets there lets nothing go.
    assert rules([Segment(400.0, 200.0, 60.0)], library, b, load) == []


def test_a_rating_is_pointed_out_when_it_is_planned(library: Library) -> None:
    b = Builder()
    load = b.charge({"batch": b.ready_batch(), "g": 5.0}, crucible=b.crucible(ware="glazed-porcelain", rated_c=1000.0))
    assert "over-rating" in rules([Segment(1100.0, 100.0, 60.0)], library, b, load)
