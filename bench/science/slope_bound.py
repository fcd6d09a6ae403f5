"""The slope bound: how high a furnace can still get, judged by its slope alone.

A furnace left alone approaches its plateau as a sum of decaying exponentials. However many there are, none slower than
τ_slow, it can never exceed T + slope·τ_slow. With the error of slope and level added, that is the bound; the verdict is
"will not reach" when it lies below the target at three readings running, and it stands until the slope clearly says
otherwise. No fit is trusted for it.

Everything here is plain arithmetic on lists, because the phone runs a twin of it without the laptop.

Where the curve is not an approach to a plateau, nothing is said: while steam may hold it (window below 150 °C), while
carbonate may hold it (window between 780 and 950 °C, unless the load is known to hold none: see `arrested_c`), for an
hour after it bent down more sharply than any sum of exponentials can (an arrest by carbonate, an open door, or a change
that nobody noted), and while it climbs steadily, as a controller makes it do.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from math import sqrt
from typing import Final

from bench.science.slope_line import Line, Readings, line

FIRST_VERDICT_READING: Final = 8
RUNNING: Final = 3
SLOWEST_TAU_MIN: Final = 120.0

STEAM_BELOW_C: Final = 150.0
STEAM_FOR_MIN: Final = 120.0

CARBONATE_FROM_C: Final = 780.0
CARBONATE_TO_C: Final = 950.0
"""Between these the carbonates of a load may take up the heat: calcite falls apart in air from about 800 °C on, and a
charge lags behind the furnace (common practice)."""
ARREST_MIN: Final = 30.0
"""Carbonate holds a load back by no more than so many minutes of standing still, all in all (project default)."""
ARREST_LEAST_MIN: Final = 10.0
ARREST_LOOK_BACK_MIN: Final = 300.0

BEND_ERRORS: Final = 2.5
BEND_PART: Final = 0.85
BEND_FOR_MIN: Final = 60.0

STEADY_PART: Final = 0.9
STEADY_ERRORS: Final = 4.0
STEADY_OVER_MIN: Final = 120.0
STEADY_WITHIN_MIN: Final = 1200.0


class Call(StrEnum):
    """What the slope bound says at a reading, or why it says nothing."""

    REACHED = "reached"
    STALLED = "stalled"
    POSSIBLE = "possible"
    TOO_FEW = "too-few"
    STEAM = "steam"
    CARBONATE = "carbonate"
    BENT = "bent"
    STEADY = "steady"
    NOT_YET_THREE = "not-yet-three"


@dataclass(frozen=True)
class Bend:
    """A sharp bend downwards: the minute of the reading that showed it, and the line before it."""

    minute: float
    before: Line


class Track:
    """The lines of one firing, reading by reading, and what they say about a target.

    `readings` are (minute, °C) in the order of time, from the start or from the last logged change of the burner on.
    `carbonate` is False only where the load is known to hold none. What is said at a reading rests on that reading and
    those before it alone.
    """

    def __init__(self, readings: Readings, slowest_tau_min: float = SLOWEST_TAU_MIN, carbonate: bool = True) -> None:
        self.readings = readings
        self.slowest_tau_min = slowest_tau_min
        self.carbonate = carbonate
        self.lines = [line(readings, last) for last in range(len(readings))]
        self.bends = self._find_bends()

    def bound_c(self) -> float | None:
        """The bound at the newest reading, in °C; None where there is no window yet."""
        newest = self.lines[-1] if self.lines else None
        return newest.bound_c(self.slowest_tau_min) if newest else None

    def stall_bound_c(self, target_c: float) -> float | None:
        """The lowest bound of the readings on which the present verdict stands, in °C; None where it did not stall."""
        calls = self.calls(target_c)
        first = len(calls)
        while first > 0 and calls[first - 1] is Call.STALLED:
            first -= 1
        if first == len(calls):
            return None
        since = self.lines[max(first - RUNNING + 1, 0) :]
        return min(each.bound_c(self.slowest_tau_min) for each in since if each is not None)

    def call(self, target_c: float) -> Call:
        """What can be said at the newest reading about reaching `target_c`."""
        return self.calls(target_c)[-1] if self.readings else Call.TOO_FEW

    def calls(self, target_c: float) -> list[Call]:
        """What could be said at each reading about reaching `target_c`."""
        found: list[Call] = []
        running, stalled, reached = 0, False, False
        for last, (_, c) in enumerate(self.readings):
            reached = reached or c >= target_c
            now = self.lines[last]
            if reached:
                found.append(Call.REACHED)
                continue
            if last + 1 < FIRST_VERDICT_READING or now is None:
                found.append(Call.TOO_FEW)
                continue
            step = self._step(target_c, last, now)
            running = running + 1 if step is Call.NOT_YET_THREE else 0
            stalled = running >= RUNNING or (stalled and now.promise_c(self.slowest_tau_min) < target_c)
            found.append(Call.STALLED if stalled else step)
        return found

    def _step(self, target_c: float, last: int, now: Line) -> Call:
        """What one reading says by itself; NOT_YET_THREE: the bound lies below, and nothing speaks against it."""
        if now.bound_c(self.slowest_tau_min) >= target_c:
            return Call.POSSIBLE
        if self._steam(target_c, last, now):
            return Call.STEAM
        if self._arrested(target_c, last, now):
            return Call.CARBONATE
        if self._bent(target_c, last):
            return Call.BENT
        return Call.STEADY if self._steady(target_c, last, now) else Call.NOT_YET_THREE

    def _steam(self, target_c: float, last: int, now: Line) -> bool:
        """True while a reading of the window lies where steam holds the curve, in the first two hours."""
        since_start = self.readings[last][0] - self.readings[0][0]
        return now.lowest_c < STEAM_BELOW_C < target_c and since_start <= STEAM_FOR_MIN

    def _arrested(self, target_c: float, last: int, now: Line) -> bool:
        """True while carbonate may hold the curve back, and the target would be possible without it."""
        if not self.carbonate or target_c <= CARBONATE_FROM_C or now.now_c < CARBONATE_FROM_C:
            return False
        return now.lowest_c < CARBONATE_TO_C and self.arrested_c(last, now) >= target_c

    def arrested_c(self, last: int, now: Line) -> float:
        """The bound at a reading if carbonate stood still in the curve for ARREST_MIN of its minutes.

        Without an arrest the slope only falls, so it is now at most the mean slope since any earlier reading. With one
        that took ARREST_MIN, the same rise took so many minutes less. The least bound of all earlier readings holds.
        """
        found = float("inf")
        minute, high_c = self.readings[last][0], now.now_c + 2 * now.scatter_c / sqrt(now.count)
        for earlier in range(last - 1, -1, -1):
            each = self.lines[earlier]
            left_min = minute - self.readings[earlier][0] - ARREST_MIN
            if left_min > ARREST_LOOK_BACK_MIN:
                break
            if each is None or left_min < ARREST_LEAST_MIN:
                continue
            rise_c = max(high_c - each.now_c + 2 * each.scatter_c / sqrt(each.count), 0.0)
            found = min(found, high_c + rise_c / left_min * self.slowest_tau_min)
        return found

    def _bent(self, target_c: float, last: int) -> bool:
        """True for an hour after a sharp bend, if the target was possible before it: else the bend changes nothing."""
        since = self.readings[last][0] - BEND_FOR_MIN
        for bend in self._bends_until(last):
            if bend.minute < since:
                return False
            if bend.before.bound_c(self.slowest_tau_min) >= target_c:
                return True
        return False

    def _steady(self, target_c: float, last: int, now: Line) -> bool:
        """True while the curve clearly climbs, as fast as in the last two hours, and would be there within a day."""
        rise = now.slope_c_min + 2 * now.slope_error
        if now.slope_c_min <= STEADY_ERRORS * now.slope_error or now.now_c + rise * STEADY_WITHIN_MIN < target_c:
            return False
        since = self.readings[last][0] - STEADY_OVER_MIN
        bend = next(self._bends_until(last), None)
        if bend is not None:
            since = max(since, bend.minute)
        earlier = last
        while earlier >= 0 and self.readings[earlier][0] >= since:
            each = self.lines[earlier]
            if each is not None and rise <= STEADY_PART * (each.slope_c_min - each.slope_error):
                return False
            earlier -= 1
        return True

    def _bends_until(self, last: int) -> Iterator[Bend]:
        """The bends up to the reading `last`, the latest first."""
        minute = self.readings[last][0]
        return (bend for bend in reversed(self.bends) if bend.minute <= minute)

    def _find_bends(self) -> list[Bend]:
        found = []
        noise_c = float("inf")
        for last, now in enumerate(self.lines):
            if now is not None:
                noise_c = min(noise_c, now.scatter_c)
                found += self._bends_at(last, now, noise_c)
        return found

    def _bends_at(self, last: int, newest: Line, noise_c: float) -> list[Bend]:
        """The bends that the reading `last` shows, looking back by half a window and by a whole one, twice each."""
        found = []
        for lag_min in (newest.span_min / 2, newest.span_min):
            middle, first = self._line_before(last, lag_min), self._line_before(last, 2 * lag_min)
            if middle is not None and first is not None and breaks_off(first, middle, newest, noise_c):
                found.append(Bend(self.readings[last][0], first))
        return found

    def _line_before(self, last: int, minutes: float) -> Line | None:
        """The line that ends at the newest reading at least so many minutes before the reading `last`."""
        earlier = last
        while earlier >= 0 and self.readings[earlier][0] > self.readings[last][0] - minutes:
            earlier -= 1
        return self.lines[earlier] if earlier >= 0 else None


def breaks_off(first: Line, middle: Line, newest: Line, noise_c: float) -> bool:
    """True when the slope fell off faster than in any sum of exponentials.

    Such a slope is log-convex: it falls off ever more slowly. So from two earlier slopes follows the least that the
    newest must be. A slope below most of that, by 2.5 standard errors at `noise_c` °C of scatter, is a break.
    """
    if not (first.slope_c_min >= middle.slope_c_min > 0 and newest.mid_min > middle.mid_min > first.mid_min):
        return False
    ahead = (newest.mid_min - middle.mid_min) / (middle.mid_min - first.mid_min)
    least = BEND_PART * middle.slope_c_min * (middle.slope_c_min / first.slope_c_min) ** ahead
    of_middle = (1 + ahead) * middle.leverage / middle.slope_c_min
    of_first = ahead * first.leverage / first.slope_c_min
    error = noise_c * sqrt((least * of_middle) ** 2 + (least * of_first) ** 2 + newest.leverage**2)
    return least - newest.slope_c_min > BEND_ERRORS * error
