"""The straight line through the newest readings of a firing: level, slope, and their errors.

Plain arithmetic on lists: the phone runs a twin of it without the laptop.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Final

WINDOW_MIN: Final = 20.0
WINDOW_READINGS: Final = 5
NOISE_FLOOR_C: Final = 2.0
"""Readings by hand are never better than this standard deviation."""

Readings = Sequence[tuple[float, float]]


@dataclass(frozen=True)
class Line:
    """A straight line through the window that ends at a reading: level and slope now, and their errors."""

    mid_min: float
    now_c: float
    slope_c_min: float
    leverage: float
    """Standard error of the slope for one °C of scatter, in 1/min."""
    scatter_c: float
    count: int
    span_min: float
    lowest_c: float

    @property
    def slope_error(self) -> float:
        """The standard error of the slope, in °C/min."""
        return self.scatter_c * self.leverage

    def bound_c(self, slowest_tau_min: float) -> float:
        """The highest temperature in °C that can still come, with two standard errors allowed on slope and level."""
        slope = max(self.slope_c_min + 2 * self.slope_error, 0.0)
        return self.now_c + slope * slowest_tau_min + 2 * self.scatter_c / sqrt(self.count)

    @property
    def falls(self) -> bool:
        """True when the temperature clearly falls."""
        return self.slope_c_min + 2 * self.slope_error < 0

    def promise_c(self, slowest_tau_min: float) -> float:
        """What the slope, less two standard errors, leads to at the slowest rate, in °C."""
        return self.now_c + (self.slope_c_min - 2 * self.slope_error) * slowest_tau_min


def window_start(readings: Readings, last: int) -> int:
    """Index where the window that ends at `last` begins: 20 minutes or five readings, whichever is longer."""
    start = max(last - WINDOW_READINGS + 1, 0)
    while start > 0 and readings[start - 1][0] >= readings[last][0] - WINDOW_MIN:
        start -= 1
    return start


def line(readings: Readings, last: int) -> Line | None:
    """The line through the window that ends at the reading `last`; None with fewer than five readings or no span."""
    window = readings[window_start(readings, last) : last + 1]
    count = len(window)
    span_min = window[-1][0] - window[0][0]
    if count < WINDOW_READINGS or span_min <= 0:
        return None
    mid_min = sum(minute for minute, _ in window) / count
    mean_c = sum(c for _, c in window) / count
    square = sum((minute - mid_min) ** 2 for minute, _ in window)
    slope = sum((minute - mid_min) * (c - mean_c) for minute, c in window) / square
    left = sum((c - mean_c - slope * (minute - mid_min)) ** 2 for minute, c in window)
    return Line(
        mid_min=mid_min,
        now_c=mean_c + slope * (window[-1][0] - mid_min),
        slope_c_min=slope,
        leverage=1 / sqrt(square),
        scatter_c=max(sqrt(left / (count - 2)), NOISE_FLOOR_C),
        count=count,
        span_min=span_min,
        lowest_c=min(c for _, c in window),
    )
