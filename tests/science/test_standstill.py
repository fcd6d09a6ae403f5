"""The fact: for how long a furnace has not risen, said while it is of use, and never of a climb that gets there."""

import math

import pytest

from bench.science.standstill import standstill
from tests.measure.firings import firings
from tests.measure.forecast import Facts
from tests.science.test_slope_bound import BY_HAND


def first_min(taken: list[tuple[float, float]], target_c: float) -> float | None:
    return next((taken[n - 1][0] for n in range(1, len(taken) + 1) if standstill(taken[:n], target_c)), None)


def test_a_stall_that_is_read_by_hand_is_said_after_half_an_hour() -> None:
    """It stands at 720 °C from the seventieth minute; said at the 110th, with both levels."""
    assert first_min(BY_HAND, 1000) == 110
    found = standstill([one for one in BY_HAND if one[0] <= 150], 1000)
    assert found is not None and found.fell_c == 0
    assert found.minutes == pytest.approx(75, abs=10)
    assert (round(found.then_c), round(found.now_c)) == (717, 721) or abs(found.then_c - 720) < 4


def test_a_fall_is_said_with_what_it_lost() -> None:
    """From 720 °C down by 3 °C a minute: 25 min after its highest, and 60 °C or more lower."""
    taken = [*BY_HAND, *[(170.0 + 5 * n, 720.0 - 15 * n) for n in range(1, 8)]]
    found = standstill(taken, 1000)
    assert found is not None and found.fell_c == pytest.approx(90, abs=10)
    assert found.then_c - found.now_c == found.fell_c and found.minutes >= 25


@pytest.mark.parametrize("count", range(4))
def test_too_few_readings_say_nothing(count: int) -> None:
    assert standstill([(10.0 * n, 700.0) for n in range(count)], 1000) is None


def test_nothing_is_said_of_a_climb_a_target_that_was_read_and_a_cold_furnace() -> None:
    climb = [(5.0 * n, 300.0 + 4 * n) for n in range(30)]
    assert first_min(climb, 500) is None
    assert first_min([(0.0, 1001.0), *[(5.0 * n, 700.0) for n in range(1, 20)]], 1000) is None
    assert first_min([(5.0 * n, 60.0) for n in range(20)], 1000) is None


def test_a_lid_that_was_shut_again_is_no_standstill_while_it_climbs_back() -> None:
    """Down by 100 °C for a lid, and back up at 8 °C a minute: the newest three lead to the target within the hour."""
    before = [(5.0 * n, 900 - 880 * math.exp(-n / 8)) for n in range(30)]
    back = [(150.0 + 5 * n, before[-1][1] - 100 + 40 * n) for n in range(3)]
    assert standstill([*before, *back], 1000) is None


@pytest.mark.parametrize("family", ["one rate", "steam", "burner"])
def test_the_fact_comes_within_the_three_quarters_of_an_hour_and_is_true(family: str) -> None:
    """Simulated furnaces: said soon after a plateau, seldom of a curve that crept up, hardly ever of a useful climb."""
    facts = Facts()
    for one in firings(family, 60, 77):
        facts.add(one)
    assert facts.plateaus >= 3 and facts.in_time >= facts.plateaus - 1
    assert facts.said > 100 and facts.untrue < 0.06 * facts.said and facts.useful < 0.03 * facts.said
