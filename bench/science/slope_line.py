"""The straight line through the newest readings of a firing: level, slope, scatter, and the error of the slope.

Readings are (minute, °C) in the order of time. Plain arithmetic on lists: the phone runs a twin of it on its own.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import sqrt
from typing import Final

WINDOW_MIN: Final = 20.0
WINDOW_READINGS: Final = 5
NOISE_FLOOR_C: Final = 2.0
"""Readings by hand are never better than this standard deviation."""

NOISE_OF: Final = 15
NOISE_LEAST_C, NOISE_MOST_C, NOISE_USUAL_C = 1.0, 4.0, 2.0
"""Limits of what `noise_c` finds, and what it takes where too few readings tell (proved in simulation)."""
SD_OF_MEDIAN: Final = 1.4826
"""The standard deviation of a normal scatter, by its median distance from the middle."""

Readings = Sequence[tuple[float, float]]


@dataclass(frozen=True)
class Line:
    """A straight line through the window that ends at a reading: level in °C and slope in °C/min there."""

    now_c: float
    slope_c_min: float
    leverage: float
    """Standard error of the slope for one °C of scatter, in 1/min."""
    scatter_c: float
    count: int
    span_min: float
    lowest_c: float

    def error(self, scatter_c: float) -> float:
        """The standard error of the slope in °C/min, for a scatter of single readings in °C."""
        return scatter_c * self.leverage

    @property
    def slope_error(self) -> float:
        """The standard error of the slope in °C/min, by the line's own scatter."""
        return self.error(self.scatter_c)

    @property
    def falls(self) -> bool:
        """True when the temperature clearly falls."""
        return self.slope_c_min + 2 * self.slope_error < 0


def window_start(readings: Readings, last: int, minutes: float = WINDOW_MIN, fewest: int = WINDOW_READINGS) -> int:
    """Index where the window that ends at `last` begins: so many minutes or readings, whichever is longer."""
    start = max(last - fewest + 1, 0)
    while start > 0 and readings[start - 1][0] >= readings[last][0] - minutes:
        start -= 1
    return start


def line_over(readings: Readings, last: int, minutes: float = WINDOW_MIN, fewest: int = WINDOW_READINGS) -> Line | None:
    """The least-squares line through the window that ends at `last`; None with too few readings or no span."""
    window = readings[window_start(readings, last, minutes, fewest) : last + 1]
    count = len(window)
    span_min = window[-1][0] - window[0][0]
    if count < fewest or span_min <= 0:
        return None
    mid_min = sum(minute for minute, _ in window) / count
    mean_c = sum(c for _, c in window) / count
    square = sum((minute - mid_min) ** 2 for minute, _ in window)
    slope = sum((minute - mid_min) * (c - mean_c) for minute, c in window) / square
    left = sum((c - mean_c - slope * (minute - mid_min)) ** 2 for minute, c in window)
    return Line(
        now_c=mean_c + slope * (window[-1][0] - mid_min),
        slope_c_min=slope,
        leverage=1 / sqrt(square),
        scatter_c=sqrt(left / (count - 2)),
        count=count,
        span_min=span_min,
        lowest_c=min(c for _, c in window),
    )


def line(readings: Readings, last: int) -> Line | None:
    """The line through 20 minutes or five readings up to `last`, its scatter never taken for less than 2 °C."""
    found = line_over(readings, last)
    return None if found is None else replace(found, scatter_c=max(found.scatter_c, NOISE_FLOOR_C))


def noise_c(readings: Readings, last: int) -> float:
    """The scatter of one reading in °C: the median distance from the line between its neighbours, of the newest 15."""
    away = []
    for middle in range(max(last - NOISE_OF, 1), last):
        (before, low_c), (minute, c), (after, high_c) = readings[middle - 1 : middle + 2]
        if after > before:
            part = (minute - before) / (after - before)
            off_c = abs(c - low_c - part * (high_c - low_c))
            away.append(off_c / sqrt(1 + part * part + (1 - part) ** 2))
    if not away:
        return NOISE_USUAL_C
    middle_c = sorted(away)[len(away) // 2]
    return min(max(SD_OF_MEDIAN * middle_c, NOISE_LEAST_C), NOISE_MOST_C)


def of_three_c(readings: Readings, last: int) -> float:
    """The mean of a reading and the two before it, in °C."""
    return (readings[last - 2][1] + readings[last - 1][1] + readings[last][1]) / 3
