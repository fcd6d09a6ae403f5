"""The forecast: verdict, heading, times from both ends, restart at a change, silence, and its one sentence."""

import math

import pytest

from bench.science.forecast import Verdict, forecast, minute_reached, thinned
from bench.science.slope_bound import Call

TARGET_C = 1000.0


def single(
    end_c: float, tau_min: float, step_min: float, last_min: float, from_c: float = 20
) -> list[tuple[float, float]]:
    count = int(last_min / step_min) + 1
    return [
        (k * step_min, float(round(end_c - (end_c - from_c) * math.exp(-k * step_min / tau_min)))) for k in range(count)
    ]


def test_a_true_stall_is_called() -> None:
    found = forecast(single(720, 40, 5, 110), TARGET_C)
    assert found.verdict is Verdict.WILL_NOT_REACH
    assert found.heading_c == pytest.approx(720, abs=5)
    assert found.bound_c is not None
    assert found.bound_c < TARGET_C
    assert (found.early_min, found.late_min) == (None, None)
    assert found.say().startswith("1000 °C will not be reached unless something is changed: by its slope")


def test_a_two_rate_furnace_gets_no_false_verdict() -> None:
    """T = 1000 - 600e^(-t/15) - 380e^(-t/120) fits 782 °C after an hour, and reaches 1000 °C in the end."""
    taken = [(float(t), 1000 - 600 * math.exp(-t / 15) - 380 * math.exp(-t / 120)) for t in range(0, 61, 5)]
    found = forecast(taken, 990)
    assert found.verdict is Verdict.CANNOT_SAY_YET
    assert found.heading_c == pytest.approx(782, abs=1)


def test_a_furnace_that_gets_there_is_promised_and_timed() -> None:
    """T∞ 1100, τ 50 min: 1000 °C after 50·ln(1080/100) = 119.0 min."""
    found = forecast(single(1100, 50, 5, 80), TARGET_C)
    assert found.verdict is Verdict.WILL_REACH
    assert found.early_min is not None
    assert found.late_min is not None
    assert found.early_min <= 119.0 <= found.late_min
    assert found.late_min - found.early_min < 20
    assert "1000 °C should be reached in" in found.say()


def test_times_come_from_both_ends_of_the_interval_and_may_be_never() -> None:
    """T∞ 1010 within its interval: early is finite, late is not."""
    found = forecast(single(1010, 40, 5, 60), TARGET_C)
    assert found.low_c is not None
    assert found.high_c is not None
    assert found.low_c < TARGET_C < found.high_c
    assert found.verdict is Verdict.CANNOT_SAY_YET
    assert found.early_min is not None
    assert found.early_min >= 60
    assert found.late_min is None


def test_the_fit_starts_again_at_a_logged_change() -> None:
    """720 °C until the burner is turned up at 40 min, then 1050: from the change on the fit finds 1050."""
    before = [(t, c) for t, c in single(720, 40, 2.5, 120) if t < 40]
    level = 720 - 700 * math.exp(-1)
    after = [(40 + t, c) for t, c in single(1050, 40, 2.5, 60, level)]
    whole, since = forecast([*before, *after], TARGET_C), forecast([*before, *after], TARGET_C, changed_at_min=40)
    assert since.heading_c == pytest.approx(1050, abs=10)
    assert since.low_c is not None
    assert since.high_c is not None
    assert since.low_c < 1050 < since.high_c
    assert whole.heading_c is None or whole.heading_c > 1200
    assert since.count == len(after)


def test_a_change_just_now_leaves_too_little_to_say() -> None:
    found = forecast(single(720, 40, 5, 110), TARGET_C, changed_at_min=100)
    assert found.call is Call.TOO_FEW
    assert found.verdict is Verdict.CANNOT_SAY_YET
    assert "3" in found.say()
    assert forecast(single(720, 40, 5, 110), TARGET_C, changed_at_min=500).count == 0


def test_reached_stays_reached_even_after_a_change() -> None:
    taken = single(1100, 50, 5, 130)
    found = forecast(taken, TARGET_C, changed_at_min=128)
    assert found.verdict is Verdict.WILL_REACH
    assert found.early_min == found.late_min == pytest.approx(119.0, abs=0.5)
    assert found.say() == "1000 °C was reached at 119 min."
    assert minute_reached(taken, 1099.9) is None


def test_nothing_is_said_while_steam_holds_the_curve() -> None:
    steaming = [(2.0 * place, min(20.0 + 20 * place, 99.0)) for place in range(25)]
    found = forecast(steaming, TARGET_C)
    assert found.verdict is Verdict.CANNOT_SAY_YET
    assert (found.heading_c, found.low_c, found.high_c, found.early_min) == (None, None, None, None)
    assert "steam" in found.say()


def test_nothing_is_said_after_carbonate_bent_the_curve() -> None:
    rising = single(1100, 50, 2, 60)
    found = forecast([*rising, *[(62.0 + 2 * place, rising[-1][1]) for place in range(12)]], TARGET_C)
    assert found.call is Call.BENT
    assert found.heading_c is None
    assert "carbonate" in found.say()


def test_nothing_is_said_while_carbonate_may_hold_the_curve() -> None:
    """A plateau at 880 °C: called where no carbonate is there; else it may be an arrest for half an hour."""
    taken = single(880, 40, 5, 155)
    waits, knows = forecast(taken, TARGET_C), forecast(taken, TARGET_C, carbonate=False)
    assert (waits.verdict, waits.call, waits.heading_c) == (Verdict.CANNOT_SAY_YET, Call.CARBONATE, None)
    assert "carbonate" in waits.say() and knows.verdict is Verdict.WILL_NOT_REACH
    assert forecast(single(880, 40, 5, 240), TARGET_C).verdict is Verdict.WILL_NOT_REACH


def test_a_straight_climb_shows_no_plateau_and_is_no_stall() -> None:
    found = forecast([(5.0 * place, 20.0 + 15 * place) for place in range(20)], TARGET_C)
    assert found.heading_c is None
    assert found.verdict is Verdict.CANNOT_SAY_YET


def test_a_falling_furnace_says_so() -> None:
    falling = [*single(720, 40, 5, 120), *[(125.0 + 5 * place, 680.0 - 15 * place) for place in range(8)]]
    found = forecast(falling, TARGET_C)
    assert found.verdict is Verdict.WILL_NOT_REACH
    assert "falling by 3" in found.say()


@pytest.mark.parametrize("count", range(10))
def test_early_on_there_is_always_a_sentence(count: int) -> None:
    say = forecast(single(720, 40, 5, 60)[:count], TARGET_C).say()
    assert say.startswith("It cannot be said yet")
    assert say.endswith(".")
    assert "None" not in say


def test_a_logger_of_seconds_gives_the_same_answer_as_its_half_minutes() -> None:
    dense = [(k / 60, 720 - 700 * math.exp(-k / 60 / 40)) for k in range(0, 7200, 2)]
    sparse = [(k / 2, 720 - 700 * math.exp(-k / 2 / 40)) for k in range(240)]
    assert len(thinned(dense)) == 240
    found, other = forecast(dense, TARGET_C), forecast(sparse, TARGET_C)
    assert found.verdict is other.verdict is Verdict.WILL_NOT_REACH
    assert found.heading_c == pytest.approx(other.heading_c, abs=0.1)
