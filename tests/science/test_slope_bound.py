"""The slope bound: its arithmetic, its window, when it keeps silent, and the vectors that the phone's twin shares."""

import json
import math
from pathlib import Path
from random import Random

import numpy as np
import pytest

from bench.measure.furnaces import RHYTHMS, Furnace, Rhythm, readings, slowed
from bench.science.slope_bound import Call, Track
from bench.science.slope_line import line, window_start

VECTORS = json.loads((Path(__file__).parents[1] / "vectors" / "slope_bound.json").read_text(encoding="utf-8"))


def approach(step_min: float, last_min: float, end_c: float = 720, tau_min: float = 40) -> list[tuple[float, float]]:
    minutes = np.arange(0, last_min + 1e-9, step_min).tolist()
    return [(minute, end_c - (end_c - 20) * math.exp(-minute / tau_min)) for minute in minutes]


def test_bound_of_the_true_slope() -> None:
    """T = 720 - 700·exp(-t/40) at 88 min: T 642.4, slope 1.939 °C/min, bound at τ_slow 120 min 875.1 °C."""
    taken = approach(0.01, 88)
    tangent = (taken[-1][1] - taken[-2][1]) / 0.01
    assert taken[-1][1] == pytest.approx(642.4, abs=0.1)
    assert tangent == pytest.approx(1.939, abs=0.001)
    assert taken[-1][1] + tangent * 120 == pytest.approx(875.1, abs=0.2)
    by_hand = line(approach(2, 88), 44)
    assert by_hand is not None
    assert by_hand.bound_c(120) > 875.1, "the window looks back, and errors are added: never below the true bound"


def test_line_agrees_with_a_general_polynomial_fit() -> None:
    rng = np.random.default_rng(3)
    taken = [(minute, c + rng.normal(0, 3)) for minute, c in approach(2, 60)]
    found = line(taken, 30)
    assert found is not None
    minutes, temperatures = np.array(taken[20:31]).T
    (slope, _), covariance = np.polyfit(minutes - minutes[-1], temperatures, 1, cov=True)
    assert found.count == 11
    assert found.slope_c_min == pytest.approx(slope)
    assert found.slope_error == pytest.approx(math.sqrt(covariance[0, 0]))
    assert found.now_c == pytest.approx(np.polyval(np.polyfit(minutes, temperatures, 1), minutes[-1]))


@pytest.mark.parametrize(
    ("minutes", "first"),
    [
        ([0, 2, 4, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24], 2),
        ([0, 10, 20, 30, 40, 50, 60], 2),
        ([0, 3, 18, 30, 33, 48, 60], 2),
        ([0, 3], 0),
    ],
)
def test_window_is_twenty_minutes_or_five_readings(minutes: list[int], first: int) -> None:
    taken = [(float(minute), 500.0) for minute in minutes]
    assert window_start(taken, len(taken) - 1) == first


def test_no_verdict_before_the_tenth_reading() -> None:
    """From the eighth reading on, three running."""
    calls = Track([(2.0 * place, 600.0) for place in range(12)]).calls(1000)
    assert calls == [Call.TOO_FEW] * 7 + [Call.NOT_YET_THREE] * 2 + [Call.STALLED] * 3


def test_never_after_a_reading_at_the_target() -> None:
    taken = [*approach(5, 60, 1100), (65.0, 1001.0), *[(70.0 + 5 * place, 600.0) for place in range(20)]]
    assert Track(taken).calls(1000)[13:] == [Call.REACHED] * 21


def test_a_called_stall_stands_through_scatter_and_falls_when_the_furnace_rises() -> None:
    flat = [(5.0 * place, 720.0 + (-1) ** place) for place in range(20)]
    raised = [(100.0 + 5 * place, 720.0 + 25 * place) for place in range(8)]
    calls = Track([*flat, *raised]).calls(1000)
    assert set(calls[9:20]) == {Call.STALLED}
    assert calls[-1] is Call.POSSIBLE


def test_silent_while_steam_holds_the_curve() -> None:
    steaming = [(2.0 * place, min(20.0 + 20 * place, 99.0)) for place in range(59)]
    assert set(Track(steaming).calls(1000)[15:]) == {Call.STEAM}
    assert Track(steaming).call(140) is Call.STALLED, "a target below the steam is judged like any other"


def test_silent_after_a_sharp_bend_and_not_for_ever() -> None:
    rising = approach(2, 60, 1100, 50)
    level = rising[-1][1]
    bent = [*rising, *[(62.0 + 2 * place, level) for place in range(80)]]
    track = Track(bent)
    calls = track.calls(1000)
    assert Call.STALLED not in calls[:60]
    assert Call.BENT in calls
    assert calls[-1] is Call.STALLED
    assert 60 < track.bends[0].minute < 80


NEAR_THE_BOUND = Furnace("15 and 120 min to 1020 °C", 1020, 0.6, 15, 120)


@pytest.mark.parametrize("rhythm", RHYTHMS, ids=lambda rhythm: rhythm.name)
@pytest.mark.parametrize(("at_c", "minutes", "part"), [(785, 30, 0.0), (820, 40, 0.3), (820, 60, 0.5), (880, 30, 0.4)])
def test_a_weak_arrest_is_never_called_a_stall(at_c: float, minutes: float, part: float, rhythm: Rhythm) -> None:
    """A furnace of two rates, as slow as the bound allows, whose load takes up heat, reaches 1000 °C all the same."""
    random = Random(31)
    for _ in range(4):
        taken = readings(slowed(NEAR_THE_BOUND.at, at_c, minutes, part), rhythm, random)
        assert Call.STALLED not in Track(taken, 120.0).calls(1000)


def test_without_the_wait_the_same_arrest_would_be_called_one() -> None:
    """So that the wait is there for something: known to hold no carbonate, the same curve is called a stall."""
    random = Random(31)
    curve = slowed(NEAR_THE_BOUND.at, 820, 40, 0.3)
    found = [Track(readings(curve, rhythm, random), 120.0, carbonate=False).calls(1000) for rhythm in RHYTHMS * 8]
    assert any(Call.STALLED in calls for calls in found)


@pytest.mark.parametrize("rhythm", RHYTHMS, ids=lambda rhythm: rhythm.name)
def test_a_true_stall_where_carbonate_may_hold_is_called_later_and_not_lost(rhythm: Rhythm) -> None:
    """Plateau 850 or 900 °C, 40 min: called in every run, within an hour and a half of when it could be without one."""
    random = Random(17)
    for end_c in (850, 900):
        for _ in range(3):
            taken = readings(Furnace("stall", end_c, 1, 40, 40).at, rhythm, random)
            first = [Track(taken, 120.0, carbonate=held).calls(1000).index(Call.STALLED) for held in (False, True)]
            assert taken[first[1]][0] - taken[first[0]][0] <= 90
            assert Call.CARBONATE in Track(taken, 120.0).calls(1000)
            assert Call.CARBONATE not in Track(taken, 120.0, carbonate=False).calls(1000)


def test_silent_on_a_steady_climb() -> None:
    climb = [(5.0 * place, 20.0 + 10 * place) for place in range(50)]
    assert Call.STALLED not in Track(climb).calls(1000)
    assert Track(climb).call(1000) is Call.STEADY


def test_a_falling_temperature_bounds_itself() -> None:
    falling = [(5.0 * place, 700.0 - 5 * place) for place in range(12)]
    found = line(falling, 11)
    assert found is not None
    assert found.falls
    assert found.bound_c(120) == pytest.approx(645, abs=2)


def test_readings_of_one_minute_have_no_line() -> None:
    assert Track([(3.0, 500.0)] * 12).call(1000) is Call.TOO_FEW
    assert Track([]).call(1000) is Call.TOO_FEW


@pytest.mark.parametrize("case", VECTORS, ids=lambda case: case["name"])
def test_shared_vector(case: dict) -> None:
    """The phone's twin must answer the same: this holds the Python side still."""
    track = Track([(minute, c) for minute, c in case["readings"]], case["slowest_tau_min"], case["carbonate"])
    assert [str(call) for call in track.calls(case["target_c"])] == case["calls"]
    assert track.bound_c() == pytest.approx(case["bound_c"], abs=1e-6)
    assert track.stall_bound_c(case["target_c"]) == pytest.approx(case["stall_bound_c"], abs=1e-6)


def test_vectors_hold_every_call() -> None:
    assert {case["carbonate"] for case in VECTORS} == {True, False}
    assert {call for case in VECTORS for call in case["calls"]} == {str(call) for call in Call}
