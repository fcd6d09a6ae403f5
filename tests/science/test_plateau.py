"""The plateau fit: Student's t, the published reach times, and synthetic furnaces whose truth is known."""

import math

import numpy as np
import pytest
from scipy.optimize import curve_fit
from scipy.stats import t as student

from bench.science.plateau import Exponential, Plateau, fit, t_quantile_975

BY_FIVE = [float(minute) for minute in range(0, 61, 5)]


def single(minutes: list[float], end_c: float, start_c: float, tau_min: float) -> list[tuple[float, float]]:
    return [(t, end_c - (end_c - start_c) * math.exp(-t / tau_min)) for t in minutes]


def fitted(readings: list[tuple[float, float]]) -> Plateau:
    found = fit(readings)
    assert found is not None
    return found


@pytest.mark.parametrize(("freedom", "table"), [(3, 3.182), (5, 2.571), (10, 2.228), (60, 2.0)])
def test_student_t_of_the_printed_table(freedom: int, table: float) -> None:
    """Two-sided 95 %, printed tables (recalled from memory); the series is good to 0.004."""
    assert t_quantile_975(freedom) == pytest.approx(table, abs=0.004)


@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 7, 20, 117])
def test_student_t_against_scipy(freedom: int) -> None:
    assert t_quantile_975(freedom) == pytest.approx(student.ppf(0.975, freedom), abs=0.005)


@pytest.mark.parametrize(("c", "minutes"), [(700, 142.21), (650, 92.1)])
def test_the_temperature_at_a_minute(c: float, minutes: float) -> None:
    """τ·ln((T∞ - T0)/(T∞ - T)) for T∞ 720, T0 20, τ 40 min."""
    curve = Exponential(end_c=720, start_c=20, tau_min=40)
    assert curve.at(minutes) == pytest.approx(c, abs=0.01)


def test_rounded_single_rate() -> None:
    """T = 720 - 700·exp(-t/40) every 5 min to 60, rounded to 1 °C: 720.9 [707.7, 735.1], profile-F 95 %."""
    found = fitted([(t, float(round(c))) for t, c in single(BY_FIVE, 720, 20, 40)])
    assert found.best.end_c == pytest.approx(720.9, abs=1)
    assert found.low.end_c == pytest.approx(707.7, abs=1)
    assert found.high.end_c == pytest.approx(735.1, abs=1)
    assert not found.open_above


def test_noisy_single_rate() -> None:
    """True plateau 720, scatter 3 °C: 730.1 [710.7, 751.5], profile-F 95 %."""
    noisy = [21.0, 99, 177, 242, 290, 341, 390, 427, 462, 490, 522, 545, 564]
    found = fitted(list(zip(BY_FIVE, noisy, strict=True)))
    assert found.best.end_c == pytest.approx(730.1, abs=1)
    assert found.low.end_c == pytest.approx(710.7, abs=1)
    assert found.high.end_c == pytest.approx(751.5, abs=1)


def test_two_rates_fit_well_and_are_confidently_wrong() -> None:
    """T = 1000 - 600e^(-t/15) - 380e^(-t/120), true plateau 1000: the first hour fits 782, its last half 822."""
    readings = [(t, 1000 - 600 * math.exp(-t / 15) - 380 * math.exp(-t / 120)) for t in BY_FIVE]
    assert fitted(readings).best.end_c == pytest.approx(782, abs=1)
    assert fitted(readings).scatter_c == pytest.approx(5.2, abs=0.1)
    assert fitted(readings[6:]).best.end_c == pytest.approx(822, abs=1)


def test_agrees_with_a_general_least_squares_solver() -> None:
    rng = np.random.default_rng(20)
    for _ in range(10):
        end_c, tau = rng.uniform(500, 1200), rng.uniform(20, 60)
        readings = [(t, c + rng.normal(0, 3)) for t, c in single(BY_FIVE, end_c, 20, tau)]
        minutes, temperatures = np.array(readings).T

        def curve(t: np.ndarray, end: float, start: float, slow: float) -> np.ndarray:
            return end - (end - start) * np.exp(-t / slow)

        other, _ = curve_fit(curve, minutes, temperatures, p0=(end_c, 20, tau))
        assert fitted(readings).best.end_c == pytest.approx(other[0], abs=0.01)
        assert fitted(readings).best.tau_min == pytest.approx(other[2], rel=1e-4)


def test_interval_covers_the_truth_as_often_as_it_says() -> None:
    """A τ grid without a continuous search falls to 0-50 %; 120 runs at 95 % fall below 88 % once in thousands."""
    rng = np.random.default_rng(7)
    inside = 0
    for _ in range(120):
        minutes = [float(t) for t in range(0, 61, 2)]
        found = fitted([(t, c + rng.normal(0, 2.5)) for t, c in single(minutes, 720, 20, 40)])
        inside += found.low.end_c <= 720 <= found.high.end_c
    assert 0.88 <= inside / 120 <= 1


def test_a_straight_climb_shows_no_plateau() -> None:
    found = fitted([(t, 20 + 5 * t) for t in BY_FIVE])
    assert not found.bends
    assert found.open_above


def test_too_few_readings_or_no_time_give_no_fit() -> None:
    assert fit([(0, 20), (5, 60), (10, 90), (15, 110)]) is None
    assert fit([(3, 20.0)] * 9) is None
    assert fit([(0, 20), (5, 60), (10, 90), (15, 110), (20, 124)]) is not None
