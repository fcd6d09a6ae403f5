"""Heat work against the exponential-integral form, closed forms and published rates."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import exp1

from bench.science import heat_work
from bench.science.refusal import Refusal

R = 8.314462618
CURVE = [(0.0, 20.0), (196.0, 1000.0), (256.0, 1000.0), (354.0, 20.0)]
"""20 to 1000 °C at 5 K/min, held for 60 min, down at 10 K/min."""


def ramp_by_exponential_integral(
    low_c: float, high_c: float, rate_k_min: float, energy_j: float, ref_c: float
) -> float:
    """∫exp(-E/RT)dT = T·exp(-E/RT) - (E/R)·E1(E/RT), over the rate and over the rate constant at the reference."""

    def primitive(c: float) -> float:
        kelvin = c + 273.15
        return float(kelvin * math.exp(-energy_j / R / kelvin) - energy_j / R * exp1(energy_j / R / kelvin))

    return (primitive(high_c) - primitive(low_c)) / rate_k_min / math.exp(-energy_j / R / (ref_c + 273.15))


@pytest.mark.parametrize(("activation", "published_min"), [(200, 78.358), (300, 72.6145), (400, 69.61)])
def test_whole_firing(activation: float, published_min: float) -> None:
    """By the exponential integral of scipy, to 1e-4 of the minutes; tolerance 0.05 min."""
    up = ramp_by_exponential_integral(20, 1000, 5, activation * 1000, 1000)
    down = ramp_by_exponential_integral(20, 1000, 10, activation * 1000, 1000)
    found = heat_work.equivalent_soak_min([(0, 20), (196, 1000), (256, 1000), (354, 20)], 1000, activation)
    assert found == pytest.approx(up + 60 + down, rel=1e-5)
    assert found == pytest.approx(published_min, abs=0.05)


@pytest.mark.parametrize(
    ("c", "activation", "minutes"),
    [(950, 200, 27.716), (1050, 200, 122.524), (950, 300, 18.837), (950, 400, 12.803), (1050, 400, 250.204)],
)
def test_steady_hold_by_the_closed_form(c: float, activation: float, minutes: float) -> None:
    assert heat_work.equivalent_soak_min([(0, c), (60, c)], 1000, activation) == pytest.approx(minutes, abs=0.001)


def test_lethality_of_autoclaves_is_the_same_integral() -> None:
    """Published: L = 10^((110 - 121.11)/10) = 0.077; steam sterilization counts minutes at 121.11 °C with z = 10 K."""
    found = heat_work.integral_min([(0, 110), (1, 110)], lambda kelvin: 10 ** ((kelvin - 273.15 - 121.11) / 10))
    assert found == pytest.approx(0.077, abs=0.0005)


def test_minutes_above_count_the_straight_crossings() -> None:
    assert heat_work.min_above(CURVE, 1000) == pytest.approx(60.0, abs=0.001)
    assert heat_work.min_above(CURVE, 900) == pytest.approx(90.0, abs=0.001)
    assert heat_work.min_above(CURVE, 1000.1) == 0
    assert heat_work.peak_c(CURVE) == 1000


def test_each_crucible_has_its_own_window() -> None:
    """In at 100 min (520 °C on the ramp) and out at 230 min: 520 to 1000 °C, then 34 min of soak."""
    inside = heat_work.window(CURVE, 100, 230)
    assert inside[0] == (100, pytest.approx(520))
    assert inside[-1] == (230, pytest.approx(1000))
    assert heat_work.min_above(inside, 1000) == pytest.approx(34)
    whole = heat_work.equivalent_soak_min(CURVE, 1000, 300)
    parts = [heat_work.window(CURVE, start, end) for start, end in ((0, 100), (100, 230), (230, 354))]
    assert sum(heat_work.equivalent_soak_min(part, 1000, 300) for part in parts) == pytest.approx(whole, rel=1e-6)


def test_window_is_cut_to_what_was_read() -> None:
    assert heat_work.window(CURVE, -20, 500) == CURVE
    for in_min, out_min, field in ((400, 500, "in_min"), (50, 50, "out_min")):
        with pytest.raises(Refusal) as caught:
            heat_work.window(CURVE, in_min, out_min)
        assert caught.value.field == field


def test_nothing_is_known_outside_the_readings() -> None:
    assert heat_work.temperature_at(CURVE, 354) == 20
    with pytest.raises(Refusal) as caught:
        heat_work.temperature_at(CURVE, 355)
    assert caught.value.field == "minute"


@pytest.mark.parametrize(
    ("readings", "field"), [([], "readings"), ([(5, 20), (4, 30)], "readings[1]"), ([(0, -300)], "readings[0]")]
)
def test_bad_readings_are_refused_with_their_place(readings: list[tuple[float, float]], field: str) -> None:
    with pytest.raises(Refusal) as caught:
        heat_work.equivalent_soak_min(readings, 1000, 300)
    assert caught.value.field == field


def test_a_figure_beyond_all_bounds_is_refused() -> None:
    with pytest.raises(Refusal) as caught:
        heat_work.equivalent_soak_min([(0, 2000), (60, 2000)], -200, 5000)
    assert caught.value.field == "reference_c"


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0, 60), st.floats(0, 1300)), min_size=2, max_size=8),
    st.floats(50, 500),
    st.floats(1, 3),
)
def test_twice_as_slow_does_twice_as_much(steps: list[tuple[float, float]], activation: float, stretch: float) -> None:
    minutes = np.cumsum([step for step, _ in steps]).tolist()
    curve = [(minute, c) for minute, (_, c) in zip(minutes, steps, strict=True)]
    slow = [(minute * stretch, c) for minute, c in curve]
    once = heat_work.equivalent_soak_min(curve, 900, activation)
    assert heat_work.equivalent_soak_min(slow, 900, activation) == pytest.approx(stretch * once, rel=1e-9, abs=1e-12)
