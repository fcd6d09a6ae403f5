"""A screen of what a released gas does to the air of a room: one well-mixed zone with a near-source factor.

C(t) = k·G/(n·V)·(1 - e^(-n·t)) while the gas is released evenly, then it decays with the air changes; never more than
k·m/V. The one-zone model is a standard of industrial hygiene; the near-source factor of 3 and the release of 20 min are
our own defaults.
"""

import math
from dataclasses import dataclass
from typing import Final

from bench.science.evolution import L_PER_MOL_25C

DAY_MIN: Final = 480.0
MIXING_FACTOR: Final = 3.0
RELEASE_MIN: Final = 20.0


@dataclass(frozen=True)
class Exposure:
    """The highest concentration near the source, and the mean over the worst eight hours wherever they begin, in
    mg/m³."""

    peak_mg_m3: float
    twa8h_mg_m3: float


def one_zone(
    g: float,
    room_m3: float,
    air_changes_per_h: float,
    release_min: float = RELEASE_MIN,
    mixing_factor: float = MIXING_FACTOR,
) -> Exposure:
    """Peak and eight-hour mean of `g` grams released evenly over `release_min` into a room."""
    most = mixing_factor * 1000 * g / room_m3
    per_min = air_changes_per_h / 60
    peak = min(_rise(most / release_min, per_min, release_min), most)
    start = worst_start_min(per_min, release_min)
    total = _risen(most / release_min, per_min, release_min) - _risen(most / release_min, per_min, start)
    total += _decay(peak, per_min, max(start + DAY_MIN - release_min, 0.0))
    return Exposure(peak, min(total / DAY_MIN, peak))


def worst_start_min(per_min: float, release_min: float) -> float:
    """Minutes after the start of the release at which the worst eight hours begin.

    The mean is highest where the air is as bad at the end of the eight hours as at their start:
    1 - e^(-ns) = (e^(nR) - 1)·e^(-n(s + 480)), so s = ln(1 + (e^(nR) - 1)·e^(-480n)) ÷ n, which is R without air.
    """
    if per_min * max(release_min, DAY_MIN) < 1e-9:
        return release_min
    if release_min <= DAY_MIN:
        return math.log1p(math.exp(per_min * (release_min - DAY_MIN)) * -math.expm1(-per_min * release_min)) / per_min
    over = per_min * (release_min - DAY_MIN)
    return (over + math.log1p(math.exp(-over) - math.exp(-per_min * DAY_MIN - over))) / per_min


def ppm(mg_m3: float, g_mol: float) -> float:
    """Parts per million by volume at 25 °C and 1 atm."""
    return mg_m3 * L_PER_MOL_25C / g_mol


def mg_m3(parts: float, g_mol: float) -> float:
    """Milligrams per cubic metre at 25 °C and 1 atm."""
    return parts * g_mol / L_PER_MOL_25C


def _rise(per_minute: float, per_min: float, minutes: float) -> float:
    """The concentration after minutes of even release."""
    aired = per_min * minutes
    return per_minute * minutes if aired < 1e-9 else per_minute / per_min * -math.expm1(-aired)


def _risen(per_minute: float, per_min: float, minutes: float) -> float:
    """The integral of the concentration over minutes of even release."""
    aired = per_min * minutes
    if aired < 1e-4:
        return per_minute * minutes**2 * (1 / 2 - aired / 6)
    return per_minute / per_min * (minutes + math.expm1(-aired) / per_min)


def _decay(start: float, per_min: float, minutes: float) -> float:
    """The integral of the concentration over minutes after the release has ended."""
    aired = per_min * minutes
    return start * minutes if aired < 1e-9 else start * -math.expm1(-aired) / per_min
