"""The slope bound: its arithmetic, its window, when it keeps silent, and the vectors that the phone's twin shares."""

import json
import math
from pathlib import Path
from random import Random

import numpy as np
import pytest

from bench.science.heat_dose import heat_doses
from bench.science.slope_bound import Call, Track, longest_tau_min
from bench.science.slope_line import line, line_over, noise_c, window_start
from tests.measure.firings import Firing, firings
from tests.measure.forecast import called_at_min
from tests.measure.furnaces import RHYTHMS, Furnace, Rhythm, readings, slowed

VECTORS = json.loads((Path(__file__).parents[1] / "vectors" / "slope_bound.json").read_text(encoding="utf-8"))
BY_HAND_C = (180, 330, 450, 560, 640, 690, 712, 719, 721, 720, 722, 721, 721, 720, 721, 721, 720)
BY_HAND = [(10.0 * (place + 1), float(c)) for place, c in enumerate(BY_HAND_C)]
"""A furnace that climbs to 720 °C and stands there, read every ten minutes from the tenth on; 1000 °C is planned."""


def approach(step_min: float, last_min: float, end_c: float = 720, tau_min: float = 40) -> list[tuple[float, float]]:
    minutes = np.arange(0, last_min + 1e-9, step_min).tolist()
    return [(minute, end_c - (end_c - 20) * math.exp(-minute / tau_min)) for minute in minutes]


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


def test_the_scatter_of_a_straight_climb_is_found_and_kept_in_its_limits() -> None:
    """Normal scatter of 2.5 °C over a straight climb, 40 looks of 15 readings: the middle one is 2.5 within a fifth."""
    rng = np.random.default_rng(8)
    taken = [(4.0 * k, 300 + 3.0 * k + rng.normal(0, 2.5)) for k in range(640)]
    assert np.median([noise_c(taken, last) for last in range(16, 640, 16)]) == pytest.approx(2.5, rel=0.2)
    assert noise_c([(4.0 * k, 500.0) for k in range(20)], 19) == 1
    assert noise_c([(4.0 * k, 500.0 + 60 * (-1) ** k) for k in range(20)], 19) == 4


def test_a_radiating_wall_has_a_longer_time_constant_while_it_is_colder() -> None:
    """Four fifths of a loss as T⁴: secant over tangent between 400 and 1000 °C, in K, by the loss itself."""
    now, end = 673.15, 1273.15
    to_lose = 0.2 * (end - now) + 0.8 * (end**4 - now**4) / (4 * end**3)
    assert longest_tau_min(400, 1000, 180) == pytest.approx(180 * (end - now) / to_lose)
    assert longest_tau_min(1000, 1000, 180) == longest_tau_min(1100, 1000, 180) == 180
    assert longest_tau_min(20, 1000, 180) < 2.3 * 180


def test_the_bound_is_never_below_the_true_one() -> None:
    """T = 720 - 700·exp(-t/40) at 88 min: the tangent leads to 642.4 + 1.939·180 = 991.5 °C at 180 min."""
    taken = approach(0.01, 88)
    tangent = (taken[-1][1] - taken[-2][1]) / 0.01
    assert taken[-1][1] + tangent * 180 == pytest.approx(991.5, abs=0.3)
    bound = Track(approach(2, 88)).bound_c(1000)
    assert bound is not None and bound > 991.5


def test_the_heat_dose_counts_what_lies_over_the_boil() -> None:
    """A triangle from 100 to 300 °C in 20 min: 2,000 °C·min; then 10 min at 300: 2,000 more."""
    assert heat_doses([(0.0, 20.0), (10.0, 100.0), (30.0, 300.0), (40.0, 300.0)]) == [0, 0, 2000, 4000]
    assert heat_doses([]) == []


def test_a_stall_that_is_read_by_hand_is_called_after_two_hours_and_forty_minutes() -> None:
    """Read every ten minutes from the tenth on; it stands at 720 °C from the seventieth."""
    track = Track(BY_HAND)
    calls = dict(zip([minute for minute, _ in BY_HAND], track.calls(1000), strict=True))
    assert calls[150] is Call.BELOW and calls[160] is Call.STALLED and track.call(1000) is Call.STALLED
    assert 722 < (track.stall_bound_c(1000) or 0) < 980


def test_never_after_a_reading_at_the_target() -> None:
    taken = [*approach(5, 60, 1100), (65.0, 1001.0), *[(70.0 + 5 * place, 600.0) for place in range(20)]]
    assert Track(taken).calls(1000)[13:] == [Call.REACHED] * 21


def test_a_called_stall_stands_through_scatter_and_falls_when_the_furnace_rises() -> None:
    flat = [(5.0 * place, 720.0 + (-1) ** place) for place in range(40)]
    raised = [(200.0 + 5 * place, 720.0 + 25 * place) for place in range(8)]
    calls = Track([*flat, *raised], dry=True).calls(1000)
    assert calls[:7] == [Call.TOO_FEW] * 7 and set(calls[10:40]) == {Call.STALLED}
    assert calls[-1] is Call.POSSIBLE


def test_four_readings_are_not_enough_where_they_lie_in_a_few_minutes() -> None:
    """One a minute: the eighth is the first that is judged, and a quarter of an hour must pass from there."""
    calls = Track([(float(place), 720.0) for place in range(40)], dry=True).calls(1000)
    assert calls[22 - 1] is Call.BELOW and calls[22] is Call.STALLED


def a_wet_lining(hold_min: float) -> list[tuple[float, float]]:
    """A chamber that stands at 330 °C over a wall held at 100 °C by its water, and goes on to 1100 °C once it is dry.

    The gas is hot, so no reading lies near 100 °C after the first minutes.
    """
    found = []
    for minute in range(0, 60 + int(hold_min), 5):
        wet = 330 - 310 * math.exp(-minute / 12)
        dry = 1100 - 770 * math.exp(-max(minute - hold_min, 0.0) / 70)
        found.append((float(minute), float(round(wet if minute < hold_min else dry))))
    return found


def test_water_at_the_wall_under_hot_gas_is_no_stall() -> None:
    """60,000 °C·min come only after 260 min at 330 °C; nothing is called while the wall boils for 70."""
    taken = a_wet_lining(70)
    calls = Track(taken).calls(1000)
    assert Call.STALLED not in calls and Call.STEAM in calls
    assert Call.STALLED in Track(taken, dry=True).calls(1000), "so that the wait is there for something"


@pytest.mark.parametrize("family", ["radiating", "steam"])
def test_no_furnace_that_reaches_is_called_a_stall(family: str) -> None:
    """Radiating walls, dry and wet, simulated to the end: none of those that reach their target is called."""
    some = [one for one in firings(family, 60, 4242) if one.reached_min is not None]
    assert len(some) > 25
    assert [one for one in some if called_at_min(one, 180.0) is not None] == []


def test_stalls_are_called_in_time_for_another_load() -> None:
    """One heat rate, 25 °C or more short: four in five are called within seven hours."""
    some = [one for one in firings("one rate", 80, 4242) if one.reached_min is None and one.target_c - one.peak_c >= 25]
    assert sum(called_at_min(one, 180.0) is not None for one in some) >= 0.7 * len(some) > 5


NEAR_THE_BOUND = Furnace("15 and 120 min to 1020 °C", 1020, 0.6, 15, 120)


@pytest.mark.parametrize("rhythm", RHYTHMS, ids=lambda rhythm: rhythm.name)
@pytest.mark.parametrize(("at_c", "minutes", "part"), [(785, 30, 0.0), (820, 40, 0.3), (820, 60, 0.5), (880, 30, 0.4)])
def test_a_weak_arrest_is_never_called_a_stall(at_c: float, minutes: float, part: float, rhythm: Rhythm) -> None:
    """A furnace of two rates, as slow as the bound allows, whose load takes up heat, reaches 1000 °C all the same."""
    random = Random(31)
    for _ in range(2):
        taken = readings(slowed(NEAR_THE_BOUND.at, at_c, minutes, part), rhythm, random)
        assert Call.STALLED not in Track(taken, 120.0).calls(1000)


def test_a_stall_where_carbonate_may_hold_is_called_later_and_not_lost() -> None:
    """A plateau of 850 °C, 40 min: called in every run, within two and a half hours of when it could be without."""
    random = Random(17)
    for rhythm in RHYTHMS:
        taken = readings(Furnace("stall", 850, 1, 40, 40).at, rhythm, random)
        first = [
            Track(taken, 120.0, carbonate=held, dry=True).calls(1000).index(Call.STALLED) for held in (False, True)
        ]
        assert 0 <= taken[first[1]][0] - taken[first[0]][0] <= 150
        assert Call.CARBONATE not in Track(taken, 120.0, carbonate=False, dry=True).calls(1000)


def test_silent_after_a_lid_was_open_and_on_a_steady_climb() -> None:
    flat = [(5.0 * place, 700.0) for place in range(40)]
    opened = [*flat, *[(200.0 + 5 * place, 640.0 + 12 * place) for place in range(4)]]
    assert Call.DIPPED in Track(opened, changed_at_min=150).calls(1000)
    climb = [(5.0 * place, 20.0 + 10 * place) for place in range(50)]
    assert Call.STALLED not in Track(climb).calls(1000)
    slow = [(5.0 * place, 300.0 + 2 * place) for place in range(120)]
    assert Track(slow).call(1000) is Call.STEADY and Call.STALLED not in Track(slow).calls(1000)


def test_a_change_starts_anew_but_the_heat_before_it_dried_the_load() -> None:
    taken = [(5.0 * place, 720.0) for place in range(60)]
    track = Track(taken, changed_at_min=200)
    assert track.used[0] == (200, 720) and track.doses[0] == pytest.approx(620 * 200)
    assert track.call(1000) is Call.STALLED
    assert Track(taken, changed_at_min=500).call(1000) is Call.TOO_FEW


def test_a_falling_temperature_bounds_itself() -> None:
    falling = [(5.0 * place, 700.0 - 5 * place) for place in range(12)]
    found = line(falling, 11)
    assert found is not None and found.falls
    assert Track(falling).bound_c(1000) == pytest.approx(645, abs=3)


def test_readings_of_one_minute_have_no_line() -> None:
    assert Track([(3.0, 500.0)] * 12).call(1000) is Call.TOO_FEW
    assert Track([]).call(1000) is Call.TOO_FEW
    assert line_over([(3.0, 500.0)] * 12, 11) is None


@pytest.mark.parametrize("case", VECTORS, ids=lambda case: case["name"])
def test_shared_vector(case: dict) -> None:
    """The phone's twin must answer the same: this holds the Python side still."""
    taken = [(minute, c) for minute, c in case["readings"]]
    track = Track(taken, case["tau"], case["carbonate"], case["dry"], case["changed"])
    assert [str(call) for call in track.calls(case["target_c"])] == case["calls"]
    assert track.stall_bound_c(case["target_c"]) == pytest.approx(case["stall_bound_c"], abs=1e-6)


def test_vectors_hold_every_call() -> None:
    assert {case["carbonate"] for case in VECTORS} == {case["dry"] for case in VECTORS} == {True, False}
    assert {call for case in VECTORS for call in case["calls"]} == {str(call) for call in Call}
    assert any(case["changed"] for case in VECTORS) and isinstance(firings("one rate", 3, 1)[0], Firing)
