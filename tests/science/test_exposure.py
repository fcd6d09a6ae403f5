"""The room model against a stepwise simulation of one well-mixed zone, every eight hours of it tried."""

from itertools import accumulate, pairwise
from math import exp

import pytest

from bench.science.exposure import one_zone

STEP_MIN = 0.5
DAY_STEPS = int(480 / STEP_MIN)


def simulated(g: float, room_m3: float, per_h: float, release_min: float, factor: float) -> tuple[float, float]:
    """Peak and worst mean of eight hours, from mass balance over half minutes."""
    kept = exp(-per_h / 60 * STEP_MIN)
    inside = (1 - kept) / (per_h / 60) if per_h else STEP_MIN
    air = [0.0]
    for n in range(int((release_min + 480) / STEP_MIN) + 1):
        fed = factor * 1000 * g / room_m3 / release_min if n * STEP_MIN < release_min else 0.0
        air.append(air[-1] * kept + fed * inside)
    areas = [0.0, *accumulate((a + b) / 2 * STEP_MIN for a, b in pairwise(air))]
    return max(air), max(areas[n + DAY_STEPS] - areas[n] for n in range(len(areas) - DAY_STEPS)) / 480


@pytest.mark.parametrize("per_h", [0, 1e-6, 0.05, 1, 6])
@pytest.mark.parametrize("release_min", [20, 240, 480, 600, 1440])
def test_the_worst_eight_hours_wherever_they_begin(per_h: float, release_min: float) -> None:
    found = one_zone(2.618, 40, per_h, release_min, 3)
    peak, mean = simulated(2.618, 40, per_h, release_min, 3)
    assert found.peak_mg_m3 == pytest.approx(peak, rel=1e-3)
    assert found.twa8h_mg_m3 == pytest.approx(mean, rel=2e-3)


def test_in_still_air_the_worst_eight_hours_come_after_the_release() -> None:
    """2.618 g of CO in 40 m³ without air change stay at 65.45 mg/m³ once all is out: 2618 ÷ 40."""
    assert one_zone(2.618, 40, 0, 240, 1).twa8h_mg_m3 == pytest.approx(65.45, abs=0.01)


@pytest.mark.parametrize("release_min", [0.5, 480, 1440])
def test_a_gale_is_reckoned_without_overflow(release_min: float) -> None:
    found = one_zone(1, 40, 1000, release_min, 1)
    assert 0 < found.twa8h_mg_m3 <= found.peak_mg_m3
