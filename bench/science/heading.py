"""Where a furnace is heading for if nothing is changed, as an interval, and when it is at the target.

The interval is a bracketed bend. One exponential is laid through the longest of the newest stretches that it fits;
every time constant that fits gives a rise to come. Two laws bracket the truth: all heat lost as the fourth power of the
temperature, where the rest of the rise is less, and slow walls behind the ones that show, where it is more. Where no
exponential fits, where the curve was dented, or where the bracket is wider than is useful, nothing is said.

The parts and limits were set on simulated furnaces of several families and proved on others (`saggar measure
--forecast`); none has met a real one. A burner that drifts by itself, or a hold that nobody logged, cannot be seen in
the readings: both may break it.
"""

from dataclasses import dataclass
from math import inf, log, sqrt
from typing import Final

import numpy as np

from bench.science.slope_bound import FIRST_VERDICT_READING, Track, dipped, longest_tau_min
from bench.science.slope_line import Readings, line_over, noise_c, of_three_c

TAUS_MIN: Final = np.exp(np.linspace(log(6), log(720), 36))
SPANS_MIN: Final = (150.0, 110.0, 80.0, 60.0, 45.0, 35.0)
SHORT_SPAN_MIN: Final = 60.0
"""A stretch longer than this does not begin with the first reading: the start of a fire is no approach to a plateau."""
FEWEST, LEAST_MIN = 6, 25.0
FITS: Final = 1.6
"""It fits with a mean square of no more than so many variances of a reading."""
ACCEPT: Final = 6.0
"""A time constant counts while its misfit is no more than so many variances above the best."""
LOW_PART, HIGH_PART = 0.1, 4.0
"""Parts of the smallest and the largest rise to come that bracket it: a bottle may lose pressure, walls may be slow."""
USELESS_C: Final = 150.0
DOSE_C_MIN: Final = 40_000.0
DENT_MIN, DENT_TIME_MIN = 30.0, 45.0
DENT_C, DENT_NOISES = 3.0, 2.0
EARLY_LESS_MIN: Final = 2.0
NEAR: Final = 0.4
"""The later time is given where the rest of the way is no more than this part of the smallest rise to come."""
LATE_PART, LATE_MIN = 3.0, 30.0
ANY_RISE_C: Final = 1000.0
USUAL_ARREST_MIN: Final = 30.0
"""So long carbonate usually holds a load: enough for an interval, not for a proof."""


@dataclass(frozen=True)
class Heading:
    """The highest temperature to come, from `low_c` to `high_c`, if nothing is changed."""

    low_c: float
    high_c: float


@dataclass(frozen=True)
class Arrival:
    """When the target is read, in minutes on the readings' clock; `late_min` None: only *not before* is known."""

    early_min: float
    late_min: float | None


@dataclass(frozen=True)
class Bend:
    """What the exponentials that fit say: the level now, the least and most rise to come in °C, the steepest slope."""

    level_c: float
    rise_low_c: float
    rise_high_c: float
    slope_high_c_min: float


def heading(track: Track, target_c: float) -> Heading | None:
    """The interval at the newest judged reading; None where nothing useful is supported."""
    used = track.used
    last = len(used) - 1
    if _silent(track) or dented(used, last, DENT_MIN):
        return None
    bend, newest, noise = bend_of(used), track.lines[last], noise_c(used, last)
    if bend is None or newest is None or newest.slope_c_min + 2 * newest.error(noise) < 0:
        return None
    give_c = 2 * noise / sqrt(3)
    climbs = newest.slope_c_min > 2 * newest.error(max(noise, newest.scatter_c))
    low_c = bend.level_c + LOW_PART * radiated_c(bend.rise_low_c, bend.level_c)
    low_c = max(low_c, used[-1][1]) if climbs else min(low_c, bend.level_c) - give_c
    high_c = max(_high_c(track, bend, target_c, give_c), low_c + give_c)
    return Heading(low_c, high_c) if high_c - low_c <= USELESS_C else None


def _high_c(track: Track, bend: Bend, target_c: float, give_c: float) -> float:
    """The upper end: slow walls behind the bend, at most the slope bound, and at least what carbonate may hold back."""
    aim_c = max(target_c, bend.level_c + 1)
    longest = longest_tau_min(bend.level_c, aim_c, track.slowest_tau_min)
    high_c = bend.level_c + min(HIGH_PART * bend.rise_high_c, bend.slope_high_c_min * longest) + give_c
    newest = track.lines[-1]
    if newest is None or not track.in_carbonate(newest):
        return high_c
    held_c = track.arrested_c(aim_c, len(track.used) - 1, newest, USUAL_ARREST_MIN)
    return max(high_c, min(held_c, bend.level_c + HIGH_PART * radiated_c(ANY_RISE_C, bend.level_c)))


def arrival(track: Track, target_c: float) -> Arrival | None:
    """When the target will be read: never before the straight line; a later time only where the target is near."""
    used = track.used
    last = len(used) - 1
    if _silent(track) or max(c for _, c in track.readings) >= target_c:
        return None
    newest, noise = track.lines[last], noise_c(used, last)
    if newest is None:
        return None
    error, rest_c, now_min = newest.error(max(noise, newest.scatter_c)), target_c - newest.now_c, used[last][0]
    if rest_c <= 0 or newest.slope_c_min < 2 * error:
        return None
    early_min = now_min + max(rest_c / (newest.slope_c_min + 2 * error) - EARLY_LESS_MIN, 0.0)
    bend = bend_of(used)
    near = bend is not None and rest_c <= NEAR * radiated_c(bend.rise_low_c, newest.now_c)
    if not near or dented(used, last, DENT_TIME_MIN) or track.steady(target_c, last):
        return Arrival(early_min, None)
    return Arrival(early_min, now_min + LATE_MIN + LATE_PART * rest_c / newest.slope_c_min)


def _silent(track: Track) -> bool:
    """True while too little was read, while water may be leaving, and while a lid or a door was open just now."""
    if len(track.used) < FIRST_VERDICT_READING:
        return True
    wet = not track.dry and track.doses[-1] < DOSE_C_MIN
    return wet or dipped(track.used, len(track.used) - 1)


def radiated_c(rise_c: float, c: float) -> float:
    """What a remaining rise by a linear law comes to where all heat is lost as T⁴, with the same slope now."""
    kelvin = c + 273.15
    return float(kelvin * ((1 + 4 * rise_c / kelvin) ** 0.25 - 1))


def dented(readings: Readings, last: int, minutes: float) -> bool:
    """True when the curve lay below what had been reached before at a reading of the last minutes."""
    give_c, highest_c = DENT_C + DENT_NOISES * noise_c(readings, last), -inf
    for each in range(2, last + 1):
        three_c = of_three_c(readings, each)
        if highest_c - three_c > give_c and readings[each][0] >= readings[last][0] - minutes:
            return True
        highest_c = max(highest_c, three_c)
    return False


def bend_of(readings: Readings) -> Bend | None:
    """The bend of the longest newest stretch that one exponential fits; None where none does."""
    if line_over(readings, len(readings) - 1) is None:
        return None
    noise = noise_c(readings, len(readings) - 1)
    return next((found for found in (_fitted(readings, span, noise) for span in SPANS_MIN) if found is not None), None)


def _fitted(readings: Readings, span_min: float, noise: float) -> Bend | None:
    """One exponential of every time constant through the last minutes, by least squares in its two other constants."""
    since = readings[-1][0] - span_min
    stretch = [one for one in readings if one[0] >= since]
    table = np.array(stretch, dtype=float)
    count = len(table)
    if count < FEWEST or table[-1, 0] - table[0, 0] < LEAST_MIN:
        return None
    if count == len(readings) and span_min > SHORT_SPAN_MIN:
        return None
    ago, c = table[:, 0] - table[-1, 0], table[:, 1]
    shape = np.exp(-ago[None, :] / TAUS_MIN[:, None])  # 1 at the newest reading
    mean = shape.mean(1)
    off = shape - mean[:, None]
    square = (off**2).sum(1)
    part = off @ (c - c.mean()) / square  # minus this is the rise to come
    end = c.mean() - part * mean
    left = ((c[None, :] - end[:, None] - part[:, None] * shape) ** 2).sum(1)
    each = float(left.min()) / (count - 3)
    if each > FITS * noise**2:
        return None
    variance = max(noise**2, each)
    fits = left <= left.min() + ACCEPT * variance
    error = 2 * np.sqrt(variance / square)
    return Bend(
        level_c=float((end + part)[fits].mean()),
        rise_low_c=max(float((-part - error)[fits].min()), 0.0),
        rise_high_c=max(float((-part + error)[fits].max()), 0.0),
        slope_high_c_min=max(float(((-part + error) / TAUS_MIN)[fits].max()), 0.0),
    )
