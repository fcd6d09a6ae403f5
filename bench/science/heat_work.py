"""What a firing did to a charge: equivalent soak, time above a temperature, peak, and one crucible's own stretch of it.

The equivalent soak is the integral of exp(-Ea/R·(1/T - 1/Tref)) over time: the minutes at the reference temperature
that would have done the same to a reaction with this activation energy (Arrhenius). Between readings the temperature is
a straight line.
"""

from bisect import bisect_right
from collections.abc import Callable, Sequence
from math import ceil
from typing import Final

import numpy as np
from numpy.typing import NDArray

from bench.science.curve import Curve
from bench.science.refusal import Refusal
from bench.translation import _

GAS_CONSTANT_J_MOL_K: Final = 8.314462618
ZERO_C_IN_K: Final = 273.15
LARGEST_STEP_K: Final = 2.0
"""Straight stretches are cut into pieces of at most this many kelvins before Simpson's rule is applied."""

Readings = Sequence[tuple[float, float]]
"""(minute, °C) in the order of time; two readings may share a minute."""

Rate = Callable[[NDArray[np.float64]], NDArray[np.float64]]


def equivalent_soak_min(readings: Readings, reference_c: float, activation_kj_mol: float) -> float:
    """Minutes at `reference_c` that do the same as the whole curve, for an activation energy in kJ/mol.

    Refuses readings out of order or below absolute zero, and energies so large that the result leaves all bounds.
    """
    _check(readings)
    if reference_c <= -ZERO_C_IN_K:
        raise Refusal(_("The reference temperature must be above absolute zero, -273.15 °C."), "reference_c")
    energy_k = activation_kj_mol * 1000 / GAS_CONSTANT_J_MOL_K
    reference_k = reference_c + ZERO_C_IN_K

    def rate(kelvin: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.exp(-energy_k * (1 / kelvin - 1 / reference_k))

    with np.errstate(over="ignore"):
        minutes = integral_min(readings, rate)
    if not np.isfinite(minutes):
        raise Refusal(_("The curve is too far above the reference temperature for a figure."), "reference_c")
    return minutes


def integral_min(readings: Readings, rate: Rate) -> float:
    """Integral over minutes of a rate that depends on the temperature in K, by Simpson's rule in steps of up to 2 K."""
    table = np.asarray(readings, dtype=float)
    if len(table) < 2:
        return 0.0
    spans, falls = np.diff(table[:, 0]), np.abs(np.diff(table[:, 1]))
    # A logger's readings are closer than the step: those stretches are done all at once.
    short = (falls <= LARGEST_STEP_K) & (spans > 0)
    starts, ends = table[:-1, 1][short], table[1:, 1][short]
    kelvin = np.stack([starts, (starts + ends) / 2, ends]) + ZERO_C_IN_K
    rates = rate(kelvin)
    total = float(((rates[0] + 4 * rates[1] + rates[2]) * spans[short]).sum()) / 6
    for at in np.flatnonzero((falls > LARGEST_STEP_K) & (spans > 0)):
        pieces = ceil(falls[at] / LARGEST_STEP_K)
        values = rate(np.linspace(table[at, 1], table[at + 1, 1], 2 * pieces + 1) + ZERO_C_IN_K)
        total += float(spans[at]) / (6 * pieces) * simpson_sum(values)
    return total


def simpson_sum(values: NDArray[np.float64]) -> float:
    """Simpson's weights 1, 4, 2, 4 … 1 applied to an odd number of values."""
    return float(values[0] + values[-1] + 4 * values[1::2].sum() + 2 * values[2:-1:2].sum())


def min_above(readings: Readings, threshold_c: float) -> float:
    """Minutes at or above a temperature, with crossings on the straight line between readings."""
    _check(readings)
    table = np.asarray(readings, dtype=float)
    if len(table) < 2:
        return 0.0
    return float((np.diff(table[:, 0]) * shares_above(readings, threshold_c)).sum())


def shares_above(readings: Readings, threshold_c: float) -> NDArray[np.float64]:
    """Of each straight line between two readings, the share that lies at or above a temperature."""
    c = np.asarray(readings, dtype=float)[:, 1]
    low, high = np.minimum(c[:-1], c[1:]), np.maximum(c[:-1], c[1:])
    rise = np.where(high > low, high - low, 1.0)
    above = np.where(low >= threshold_c, 1.0, np.clip((high - threshold_c) / rise, 0.0, 1.0))
    return np.where(high < threshold_c, 0.0, above)


def peak_c(readings: Readings) -> float:
    """The highest reading in °C."""
    _check(readings)
    return float(np.asarray(readings, dtype=float)[:, 1].max())


def temperature_at(readings: Readings, minute: float) -> float:
    """The temperature in °C at a minute, on the straight line between its neighbours.

    Refuses a minute before the first or after the last reading: nothing is known there.
    """
    _check(readings)
    first, last = readings[0][0], readings[-1][0]
    if not first <= minute <= last:
        raise Refusal(
            _(
                "The readings cover {first:g} to {last:g} min, not {minute:g} min.",
                first=first,
                last=last,
                minute=minute,
            ),
            "minute",
        )
    after = bisect_right(readings, minute, key=lambda reading: reading[0])
    if after == len(readings):
        return readings[-1][1]
    (start_min, start_c), (end_min, end_c) = readings[after - 1], readings[after]
    return start_c + (end_c - start_c) * (minute - start_min) / (end_min - start_min)


def window(readings: Readings, in_min: float, out_min: float) -> Curve:
    """The furnace's curve between the minutes when a crucible went in and came out, with both ends interpolated.

    It is the furnace's temperature: the crucible lags behind it. Where the readings begin after `in_min` or end before
    `out_min`, the window is cut to what was read; compare its ends with what was asked. Refuses an empty window.
    """
    _check(readings)
    if out_min <= in_min:
        raise Refusal(_("The crucible must come out after it went in."), "out_min")
    start, end = max(in_min, readings[0][0]), min(out_min, readings[-1][0])
    if end <= start:
        raise Refusal(_("There are no readings from the time when this crucible was in."), "in_min")
    table = np.asarray(readings, dtype=float)
    inside = table[(table[:, 0] > start) & (table[:, 0] < end)]
    ends = [[(one, temperature_at(readings, one))] for one in (start, end)]
    return Curve(np.concatenate([ends[0], inside, ends[1]]))


def _check(readings: Readings) -> None:
    if len(readings) == 0:
        raise Refusal(_("Give at least one reading."), "readings")
    table = np.asarray(readings, dtype=float)
    if (np.diff(table[:, 0]) >= 0).all() and (table[:, 1] > -ZERO_C_IN_K).all():
        return
    before = readings[0][0]
    for place, (minute, c) in enumerate(readings):
        if minute < before:
            raise Refusal(
                _(
                    "Readings must follow in time: {minute:g} min comes after {before:g} min.",
                    minute=minute,
                    before=before,
                ),
                f"readings[{place}]",
            )
        if c <= -ZERO_C_IN_K:
            raise Refusal(_("{c:g} °C is below absolute zero.", c=c), f"readings[{place}]")
        before = minute
