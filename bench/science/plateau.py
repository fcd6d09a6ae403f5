"""Where a heating curve is heading: T = T∞ - (T∞ - T0)·exp(-t/τ), fitted to readings, with a 95 % interval on T∞.

For a given τ the curve is a straight line in exp(-t/τ), so only τ is searched (variable projection). The interval is
the profile-F one: every T∞ that some τ can defend with a sum of squares below the limit. For a given τ those T∞ are
A(τ) ± sqrt(c(τ)·(limit - S(τ))), so the ends of the interval are the extremes of two curves in τ. They are searched
continuously: a grid in τ alone can step over the whole region and claim far too narrow an interval.

A good fit is no promise: a furnace with two rates fits well and is confidently wrong. The verdict is the slope bound's.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import exp, inf, log, pi, sqrt, tan
from typing import Final

import numpy as np
from numpy.typing import NDArray

NOISE_FLOOR_C: Final = 2.0
"""Readings by hand are never better than this standard deviation, however well they happen to lie on a curve."""

FEWEST_READINGS: Final = 5
TAU_SPANS: Final = 20.0
"""τ is searched from a twentieth of the span of the readings to twenty times it."""

OPEN_ABOVE_C: Final = 2000.0
"""An end of the interval on the slow side, farther from the best T∞ than this, is no information: it is left open."""

GOLDEN: Final = (sqrt(5) - 1) / 2
GRID: Final = 60
Curve = Callable[[float], float]


@dataclass(frozen=True)
class Exponential:
    """T = end_c - (end_c - start_c)·exp(-(t - from_min)/tau_min)."""

    end_c: float
    start_c: float
    tau_min: float
    from_min: float = 0.0

    def at(self, minute: float) -> float:
        """The temperature in °C at a minute."""
        return self.end_c - (self.end_c - self.start_c) * exp(-(minute - self.from_min) / self.tau_min)


@dataclass(frozen=True)
class Plateau:
    """The fit: the best curve, its scatter, and the curves at the two ends of the 95 % interval.

    Where an end is open, no T∞ bounds it; the curve kept for it is the one on the slowest τ that was tried.
    """

    best: Exponential
    scatter_c: float
    low: Exponential
    high: Exponential
    open_below: bool
    open_above: bool
    count: int
    bends: bool
    """False where the curve is as good as straight, so that no plateau can be read from it."""


def t_quantile_975(freedom: int) -> float:
    """Student's t for a two-sided 95 %: exact for one and two degrees of freedom, else a series good to 0.003.

    Series: Cornish-Fisher in four terms (Abramowitz and Stegun 26.7.5).
    """
    if freedom < 1:
        return inf
    if freedom == 1:
        return tan(pi * 0.475)
    if freedom == 2:
        return 0.95 * sqrt(2 / (1 - 0.95**2))
    z = 1.959963984540054
    terms = (
        (z**3 + z) / 4,
        (5 * z**5 + 16 * z**3 + 3 * z) / 96,
        (3 * z**7 + 19 * z**5 + 17 * z**3 - 15 * z) / 384,
        (79 * z**9 + 776 * z**7 + 1482 * z**5 - 1920 * z**3 - 945 * z) / 92160,
    )
    return z + sum(term / float(freedom ** (power + 1)) for power, term in enumerate(terms))


def fit(readings: Sequence[tuple[float, float]], noise_floor_c: float = NOISE_FLOOR_C) -> Plateau | None:
    """The fit to (minute, °C) readings in the order of time; None with fewer than five or all in one minute."""
    if len(readings) < FEWEST_READINGS or readings[-1][0] <= readings[0][0]:
        return None
    return _Fit(readings, noise_floor_c).plateau()


class _Fit:
    """The readings, and what a given log τ makes of them."""

    def __init__(self, readings: Sequence[tuple[float, float]], noise_floor_c: float) -> None:
        table = np.asarray(readings, dtype=float)
        self.from_min = float(table[0, 0])
        self.minutes: NDArray[np.float64] = table[:, 0] - self.from_min
        self.c: NDArray[np.float64] = table[:, 1]
        self.mean_c = float(self.c.mean())
        self.off_c = self.c - self.mean_c
        self.count = len(table)
        self.span_min = float(self.minutes[-1])
        self.noise_floor_c = noise_floor_c
        self.shortest, self.longest = log(self.span_min / TAU_SPANS), log(self.span_min * TAU_SPANS)

    def line(self, log_tau: float) -> tuple[float, float, float, float]:
        """For a log τ: best T∞, T0 - T∞, sum of squares, and what one °C off the best T∞ adds to it, inverted."""
        shape = np.exp(-self.minutes / exp(log_tau))
        mean = float(shape.mean())
        off = shape - mean
        square = float(off @ off)
        if square <= 0:
            return self.mean_c, 0.0, float(self.off_c @ self.off_c), 1 / self.count
        slope = float(off @ self.off_c) / square
        rest = self.off_c - slope * off
        return self.mean_c - slope * mean, slope, float(rest @ rest), 1 / self.count + mean * mean / square

    def squares(self, log_tau: float) -> float:
        return self.line(log_tau)[2]

    def plateau(self) -> Plateau:
        log_tau = minimum(self.squares, self.shortest, self.longest)
        best = self.curve(log_tau)
        freedom = self.count - 3
        least = self.squares(log_tau)
        variance = max(least / freedom, self.noise_floor_c**2)
        limit = least + variance * t_quantile_975(freedom) ** 2
        left = self.edge(log_tau, self.shortest, limit)
        right = self.edge(log_tau, self.longest, limit)
        low, open_below = self.end(-1, left, right, limit, best)
        high, open_above = self.end(+1, left, right, limit, best)
        return Plateau(
            best=best,
            scatter_c=sqrt(least / freedom),
            low=low,
            high=high,
            open_below=open_below,
            open_above=open_above,
            count=self.count,
            bends=log_tau < self.longest - 1e-3,
        )

    def edge(self, inside: float, outside: float, limit: float) -> float:
        """The log τ between `inside` and `outside` where the sum of squares reaches the limit; else `outside`."""
        if self.squares(outside) <= limit:
            return outside
        for _ in range(40):
            middle = (inside + outside) / 2
            if self.squares(middle) > limit:
                outside = middle
            else:
                inside = middle
        return inside

    def end(self, sign: int, left: float, right: float, limit: float, best: Exponential) -> tuple[Exponential, bool]:
        """The curve at the lower (-1) or upper (+1) end of the interval, and whether that end is open."""

        def reach(log_tau: float) -> float:
            end_c, _, squares, width = self.line(log_tau)
            return -(sign * end_c + sqrt(max(0.0, width * (limit - squares))))

        log_tau = minimum(reach, left, right)
        end_c = -sign * reach(log_tau)
        far = exp(log_tau) > best.tau_min and abs(end_c - best.end_c) > OPEN_ABOVE_C
        return self.curve(log_tau, end_c), far or log_tau >= self.longest - 1e-9

    def curve(self, log_tau: float, end_c: float | None = None) -> Exponential:
        """The best curve for a log τ, or the best through a given T∞."""
        best_c, slope, _, _ = self.line(log_tau)
        if end_c is not None and end_c != best_c:
            shape = np.exp(-self.minutes / exp(log_tau))
            best_c, slope = end_c, float(shape @ (self.c - end_c)) / float(shape @ shape)
        return Exponential(best_c, best_c + slope, exp(log_tau), self.from_min)


def minimum(curve: Curve, low: float, high: float) -> float:
    """Where a curve is lowest between two ends: a coarse look for the right valley, then golden section inside it."""
    if high <= low:
        return low
    places = [low + (high - low) * step / GRID for step in range(GRID + 1)]
    heights = [curve(place) for place in places]
    lowest = min(range(GRID + 1), key=heights.__getitem__)
    left, right = places[max(lowest - 1, 0)], places[min(lowest + 1, GRID)]
    inner, outer = right - GOLDEN * (right - left), left + GOLDEN * (right - left)
    inner_height, outer_height = curve(inner), curve(outer)
    for _ in range(30):
        if inner_height < outer_height:
            right, outer, outer_height = outer, inner, inner_height
            inner = right - GOLDEN * (right - left)
            inner_height = curve(inner)
        else:
            left, inner, inner_height = inner, outer, outer_height
            outer = left + GOLDEN * (right - left)
            outer_height = curve(outer)
    return min(((left + right) / 2, low, high), key=curve)
