"""What each crucible got of a firing, against closed forms and the tabled equivalent soaks."""

from datetime import timedelta

import pytest

from bench.workshop.heat import Heat, heats
from bench.workshop.things.firings import firing
from tests.workshop.builder import Builder, moment


def burn(b: Builder, curve: list[tuple[float, float]], peak_c: float, hold_min: float, charges: int = 1) -> str:
    """A firing lit at the start, with its readings at those minutes; its charges."""
    batch = b.ready_batch()
    fire = b.firing(segments=[{"to_c": peak_c, "hold_min": hold_min}])
    for n in range(charges):
        b.placed(b.charge({"batch": batch, "g": 5.0}), fire, row=1, column=n + 1, happened=b.minutes)
    start = b.minutes + 10
    b.lit(fire, happened=start)
    for minute, c in curve:
        b.reading(fire, c, happened=start + minute)
    b.wait(start + 10_000 - b.minutes)
    return fire


def told(b: Builder, fire: str, minutes: float) -> list[Heat]:
    view = firing(b.state, fire)
    assert view is not None and view.lit_at is not None
    return heats(b.state, view, view.lit_at + timedelta(minutes=minutes))


def test_the_tabled_equivalent_soak_and_the_time_above() -> None:
    # 20 to 1000 °C at 5 K/min, 60 min held, down at 10 K/min; Tref 1000 °C. Closed form with the exponential integral
    # E1 (scipy.special.exp1): 78.358 min at 200 kJ/mol, 72.6145 at 300; the hold alone lies at or over 1000 °C.
    b = Builder()
    fire = burn(b, [(0, 20), (196, 1000), (256, 1000), (354, 20)], 1000, 60)
    (found,) = told(b, fire, 354)
    assert found.work_min == pytest.approx(72.6145, abs=0.05)
    assert found.work_low_min == pytest.approx(78.358, abs=0.05)
    assert found.peak_c == 1000 and found.whole
    # At or over 990 °C: 2 min on the way up at 5 K/min, the hold, and 1 min down at 10 K/min.
    assert found.above_min == pytest.approx(63.0, abs=0.01)


@pytest.mark.parametrize(("held_c", "expected"), [(950, 18.837), (1000, 60.0)])
def test_a_flat_hold_counts_by_arrhenius(held_c: float, expected: float) -> None:
    # 60 min at 950 °C for 300 kJ/mol and Tref 1000 °C do as much as 18.837 min there (closed form).
    b = Builder()
    fire = burn(b, [(0, held_c), (60, held_c)], 1000, 60)
    (found,) = told(b, fire, 60)
    assert found.work_min == pytest.approx(expected, abs=0.01)


def test_one_that_comes_out_early_gets_less_and_its_ends_are_read_between_readings() -> None:
    b = Builder()
    fire = burn(b, [(0, 20), (100, 1020), (160, 1020), (260, 20)], 1000, 60, charges=2)
    view = firing(b.state, fire)
    assert view is not None and view.lit_at is not None
    early, late = view.charges
    at = (view.lit_at - moment(0)).total_seconds() / 60
    b.came_out(fire, early, happened=at + 130)
    one, two = told(b, fire, 300)
    assert (one.charge, two.charge) == (early, late)
    assert one.in_c == pytest.approx(20) and one.out_c == pytest.approx(1020)
    # 990 °C is crossed at minute 97 on the way up and at 163 on the way down.
    assert one.above_min == pytest.approx(33, abs=0.01) and two.above_min == pytest.approx(66, abs=0.01)
    assert one.work_min is not None and two.work_min is not None and one.work_min < two.work_min
    assert two.out_c is None and not two.whole


def test_before_the_first_reading_and_after_the_last_nothing_is_known() -> None:
    b = Builder()
    fire = burn(b, [], 1000, 60)
    (found,) = told(b, fire, 60)
    assert found.work_min is None and found.peak_c is None and found.above_min == 0 and not found.whole
    assert found.working[0]["say"].startswith("There are fewer than two readings")


def test_what_was_not_lit_has_no_heat() -> None:
    b = Builder()
    fire = b.firing()
    b.placed(b.charge({"batch": b.ready_batch(), "g": 5.0}), fire)
    view = firing(b.state, fire)
    assert view is not None and heats(b.state, view, b.now) == []
