"""The fact that needs no proof: for how long a furnace has not risen, or since when it has fallen.

It rests on the readings alone, so that it may be said while steam or carbonate holds the curve too. Both levels are
given, then and now: so it is true whatever the scatter. The limits were set and proved in simulation (see
`saggar measure --forecast`). The phone runs a twin of it.
"""

from dataclasses import dataclass
from typing import Final

from bench.science.slope_line import WINDOW_MIN, Readings, line_over, noise_c, of_three_c

FEWEST: Final = 4
SAID_AFTER_MIN: Final = 25.0
USEFUL_MIN: Final = 60.0
"""A climb that leads to the target within so many minutes is no standstill."""
FROM_C: Final = 100.0
GIVE_C, GIVE_NOISES = 3.0, 1.5
"""A level counts as not risen within this, and so many scatters of a reading."""
RISE_C, RISE_NOISES = 3.0, 0.5
"""The line through a standstill may rise by no more than this, and so many scatters of a reading, in all."""
ONE_SIDED_ERRORS: Final = 1.65
NEWEST_MIN, NEWEST_READINGS = 8.0, 3


@dataclass(frozen=True)
class Standstill:
    """Not risen for so many minutes: °C then and now, each a mean of three readings.

    `fell_c` is how far below its highest it lies, 0 where it stands; `give_c` is within how much the sentence holds.
    """

    minutes: float
    then_c: float
    now_c: float
    give_c: float
    fell_c: float


def standstill(readings: Readings, target_c: float) -> Standstill | None:
    """The fact at the newest of (minute, °C) readings; None where it rose, or leads to the target within the hour."""
    last = len(readings) - 1
    if last + 1 < FEWEST:
        return None
    noise = noise_c(readings, last)
    give_c = GIVE_C + GIVE_NOISES * noise
    now_c = of_three_c(readings, last)
    if now_c + give_c >= target_c or now_c < FROM_C or max(c for _, c in readings) >= target_c:
        return None
    if _climbs_to(readings, now_c, target_c, noise):
        return None
    top = max(range(2, last + 1), key=lambda each: of_three_c(readings, each))
    if of_three_c(readings, top) - now_c > give_c:
        return _fallen(readings, top, now_c, give_c)
    return _standing(readings, target_c, now_c, give_c, noise)


def _climbs_to(readings: Readings, now_c: float, target_c: float, noise: float) -> bool:
    """True when the newest readings alone lead to the target within the hour, as after a lid that was shut again."""
    last = len(readings) - 1
    newest = line_over(readings, last, WINDOW_MIN, FEWEST)
    latest = line_over(readings, last, NEWEST_MIN, NEWEST_READINGS)
    if newest is None or latest is None:
        return True
    ahead = max(newest.slope_c_min, latest.slope_c_min - latest.error(noise))
    return now_c + ahead * USEFUL_MIN >= target_c


def _fallen(readings: Readings, top: int, now_c: float, give_c: float) -> Standstill | None:
    minutes = readings[-1][0] - readings[top - 1][0]
    if minutes < SAID_AFTER_MIN:
        return None
    then_c = of_three_c(readings, top)
    return Standstill(minutes, then_c, now_c, give_c, then_c - now_c)


def _standing(readings: Readings, target_c: float, now_c: float, give_c: float, noise: float) -> Standstill | None:
    """From the earliest three readings on that lie at the level of the newest, if the line from there does not rise."""
    last = len(readings) - 1
    for each in range(2, last + 1):
        since = each - 2 if readings[each - 2][1] >= now_c - give_c else each - 1
        minutes = readings[last][0] - readings[since][0]
        if minutes < SAID_AFTER_MIN:
            return None
        if of_three_c(readings, each) < now_c - give_c:
            continue
        stretch = line_over(readings, last, minutes, FEWEST)
        if stretch is None or stretch.slope_c_min * minutes > RISE_C + RISE_NOISES * noise:
            continue
        rise = stretch.slope_c_min + ONE_SIDED_ERRORS * stretch.error(max(noise, stretch.scatter_c))
        if rise * USEFUL_MIN >= target_c - now_c:
            return None
        return Standstill(minutes, of_three_c(readings, each), now_c, give_c, 0.0)
    return None
