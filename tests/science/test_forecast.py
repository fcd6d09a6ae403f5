"""The forecast: fact, verdict, interval and time together, restart at a change, silence, and its sentences."""

import math

import pytest

from bench.science.forecast import Verdict, forecast, minute_reached, thinned
from bench.science.slope_bound import Call
from tests.science.test_slope_bound import BY_HAND, a_wet_lining

TARGET_C = 1000.0


def single(
    end_c: float, tau_min: float, step_min: float, last_min: float, from_c: float = 20
) -> list[tuple[float, float]]:
    count = int(last_min / step_min) + 1
    return [
        (k * step_min, float(round(end_c - (end_c - from_c) * math.exp(-k * step_min / tau_min)))) for k in range(count)
    ]


def test_a_stall_is_a_fact_first_and_a_verdict_later() -> None:
    early, late = forecast([one for one in BY_HAND if one[0] <= 110], TARGET_C), forecast(BY_HAND, TARGET_C)
    assert early.verdict is Verdict.CANNOT_SAY_YET and late.verdict is Verdict.WILL_NOT_REACH
    assert early.say().startswith("Has not risen for 30 min: 7")
    assert " °C then, 721 °C now; the plan wants 1000 °C. " in early.say()
    assert "water may still be leaving" in early.say()
    assert "1000 °C will not be reached unless something is changed. At this slope it reaches " in late.say()
    assert "Heading for 7" in late.say() and "if nothing changes." in late.say()
    assert (late.early_min, late.late_min) == (None, None)
    assert late.bound_c is not None and late.high_c is not None and late.high_c <= late.bound_c < TARGET_C


def test_a_two_rate_furnace_gets_no_false_word() -> None:
    """1000 - 600e^(-t/15) - 380e^(-t/120): one exponential through its first hour ends at 782 °C; it gets to 990."""
    taken = [(float(t), 1000 - 600 * math.exp(-t / 15) - 380 * math.exp(-t / 120)) for t in range(0, 61, 5)]
    found = forecast(taken, 990)
    assert found.verdict is Verdict.CANNOT_SAY_YET and found.fact is None
    assert found.high_c is None or found.high_c >= 990


def test_a_furnace_that_gets_there_is_timed() -> None:
    """1020 - 1000·exp(-t/50): 1000 °C after 195.6 min."""
    found = forecast(single(1020, 50, 5, 185), TARGET_C)
    assert found.verdict is Verdict.WILL_REACH
    assert found.early_min is not None and found.late_min is not None
    assert found.early_min <= 195.6 <= found.late_min
    assert "minutes if nothing changes." in found.say() and "cannot be said" not in found.say()


def test_far_from_the_target_no_more_than_not_before_is_said() -> None:
    """1100 - 1080·exp(-t/50): 1000 °C after 119 min; at 90 min the later time is left open."""
    found = forecast(single(1100, 50, 5, 90), TARGET_C)
    assert found.late_min is None and found.verdict is Verdict.CANNOT_SAY_YET
    assert found.early_min is not None and 90 < found.early_min <= 119.0
    assert "1000 °C not before " in found.say()


def test_it_starts_again_at_a_logged_change() -> None:
    """720 °C until the burner is turned up at 60 min, then 1050: what was before it no longer counts."""
    before = [(t, c) for t, c in single(720, 40, 2.5, 120) if t < 60]
    level = 720 - 700 * math.exp(-1.5)
    after = [(60 + t, c) for t, c in single(1050, 40, 2.5, 160, level)]
    since = forecast([*before, *after], 1100, changed_at_min=60)
    assert since.count == len(after)
    assert since.low_c is not None and since.high_c is not None and since.low_c < 1050 < since.high_c


def test_a_change_just_now_leaves_too_little_to_say() -> None:
    found = forecast(BY_HAND, TARGET_C, changed_at_min=150)
    assert (found.call, found.verdict, found.fact, found.low_c) == (Call.TOO_FEW, Verdict.CANNOT_SAY_YET, None, None)
    assert "3 of eight readings" in found.say()
    assert forecast(BY_HAND, TARGET_C, changed_at_min=500).count == 0


def test_reached_stays_reached_even_after_a_change() -> None:
    taken = single(1100, 50, 5, 130)
    found = forecast(taken, TARGET_C, changed_at_min=128)
    assert found.verdict is Verdict.WILL_REACH and found.fact is None and found.low_c is None
    assert found.early_min == found.late_min == pytest.approx(119.0, abs=0.5)
    assert found.say() == "1000 °C was reached at 119 min."
    assert minute_reached(taken, 1099.9) is None


def test_while_water_may_leave_the_fact_alone_is_said() -> None:
    found = forecast([one for one in a_wet_lining(90) if one[0] <= 85], TARGET_C)
    assert found.verdict is Verdict.CANNOT_SAY_YET and found.call is Call.STEAM
    assert found.fact is not None and (found.low_c, found.early_min) == (None, None)
    assert "water may still be leaving" in found.say()


def test_carbonate_is_waited_for_unless_there_is_none() -> None:
    """A plateau at 880 °C: called where no carbonate is there; else it may be an arrest for an hour and a half."""
    taken = single(880, 40, 5, 200)
    waits, knows = forecast(taken, TARGET_C, dry=True), forecast(taken, TARGET_C, carbonate=False, dry=True)
    assert (waits.verdict, waits.call) == (Verdict.CANNOT_SAY_YET, Call.CARBONATE)
    assert "carbonate" in waits.say() and knows.verdict is Verdict.WILL_NOT_REACH
    assert forecast(single(880, 40, 5, 300), TARGET_C).verdict is Verdict.WILL_NOT_REACH


def test_a_falling_furnace_says_so() -> None:
    falling = [*BY_HAND, *[(170.0 + 5 * place, 720.0 - 15 * place) for place in range(1, 9)]]
    found = forecast(falling, TARGET_C)
    assert found.verdict is Verdict.WILL_NOT_REACH and found.falls
    assert "It is falling by 3.0 °C a minute." in found.say() and "Has fallen" in found.say()


def test_a_small_rise_is_said_as_one() -> None:
    """A standstill within its give may still have crept up: the sentence then says by how much."""
    creeping = [(10.0 * n, 700.0 + 0.09 * 10 * n + (n % 2) * 6) for n in range(8)]
    found = forecast(creeping, TARGET_C)
    assert found.fact is not None
    assert ("Has risen only" in found.say()) == (round(found.fact.now_c) - round(found.fact.then_c) > 2)


@pytest.mark.parametrize("count", range(10))
def test_early_on_there_is_always_a_sentence(count: int) -> None:
    say = forecast(single(720, 40, 5, 60)[:count], TARGET_C).say()
    assert say.startswith("It cannot be said yet")
    assert say.endswith(".")
    assert "None" not in say


def test_a_logger_of_seconds_gives_the_same_answer_as_its_half_minutes() -> None:
    dense = [(k / 60, 720 - 700 * math.exp(-k / 60 / 40)) for k in range(0, 12_000, 2)]
    sparse = [(k / 2, 720 - 700 * math.exp(-k / 2 / 40)) for k in range(400)]
    assert len(thinned(dense)) == 400
    found, other = forecast(dense, TARGET_C), forecast(sparse, TARGET_C)
    assert found.verdict is other.verdict is Verdict.WILL_NOT_REACH
    assert found.low_c == pytest.approx(other.low_c, abs=1) and found.high_c == pytest.approx(other.high_c, abs=1)
