"""The soak's clock: it begins when a reading holds, stands while it is under the band, and waits for the charge."""

from datetime import timedelta

import pytest

from bench.workshop.heat import Curve
from bench.workshop.soaking import Soaking, soaking
from bench.workshop.things.firings import firing
from tests.workshop.builder import Builder


def soak(curve: Curve, g: float = 20.0, hold_min: float = 60.0, off: float | None = None) -> Soaking:
    b = Builder()
    fire = b.firing(segments=[{"to_c": 900.0, "hold_min": hold_min}])
    b.placed(b.charge({"batch": b.ready_batch(), "g": g}), fire)
    start = b.minutes
    b.lit(fire, happened=start)
    for minute, c in curve:
        b.reading(fire, c, happened=start + minute)
    if off is not None:
        b.off(fire, happened=start + off)
    view = firing(b.state, fire)
    assert view is not None and view.lit_at is not None
    found = soaking(b.state, view)
    assert found.ends is None or view.lit_at < found.ends
    return found


def minutes(found: Soaking, start_min: float) -> float:
    """The soak's end, in minutes after its start plus the minute at which it started."""
    assert found.ends is not None and found.start is not None
    return start_min + (found.ends - found.start) / timedelta(minutes=1)


def test_it_ends_its_hold_after_its_start_and_later_by_the_lag_of_the_charge() -> None:
    # 15 to 30 min for each 100 g (common practice), the longer counted: 20 g lag 6 min behind.
    found = soak([(0, 20), (100, 890), (110, 900), (120, 901)])
    assert found.lag_min == pytest.approx(6) and found.holds and not found.done
    assert found.held_min == pytest.approx(20)
    assert minutes(found, 100) == pytest.approx(166, abs=0.01)
    assert found.low_c == 890 and found.high_c == 901


def test_one_flicker_into_the_band_is_no_soak() -> None:
    found = soak([(90, 891), (100, 880), (110, 900), (120, 900)])
    assert minutes(found, 110) == pytest.approx(176, abs=0.01)


def test_it_stands_while_the_fire_is_under_the_band_and_goes_on_after() -> None:
    under = soak([(100, 900), (110, 900), (120, 870)])
    assert under.ends is None and not under.holds and under.start is not None
    # From 900 at 110 to 870 at 120 the band (890) is left a third of the way, and entered again two thirds back.
    again = soak([(100, 900), (110, 900), (120, 870), (130, 900), (140, 900)])
    assert again.held_min == pytest.approx(10 + 10 / 3 + 10 / 3 + 10)
    assert minutes(again, 100) == pytest.approx(140 + 66 - again.held_min, abs=0.01)


def test_it_is_done_and_no_end_is_given_once_the_fire_is_off() -> None:
    found = soak([(100, 900), (180, 900), (200, 300)], off=181)
    assert found.held_min == pytest.approx(80) and found.done and found.ends is None


def test_without_a_hold_or_before_it_there_is_no_end() -> None:
    assert soak([(100, 900), (110, 905)], hold_min=0.0).ends is None
    before = soak([(100, 500)])
    assert before.start is None and before.ends is None and before.held_min == 0
    assert before.working[0]["value"] == 60


def test_what_cools_by_plan_after_the_hold_is_no_part_of_the_soak() -> None:
    found = soak([(100, 900), (150, 905), (180, 900), (240, 700)], off=241)
    assert found.low_c == 900 and found.high_c == 905
    assert found.start is not None and found.over is not None
    assert (found.over - found.start) / timedelta(minutes=1) == pytest.approx(80)
