"""The slope bound: how high a furnace can still get, judged by its slope, and when that makes a stall.

A furnace left alone approaches its plateau ever more slowly. If its slowest time constant is τ, it can never exceed
level + slope·τ. A wall that loses heat by radiation loses less for a degree while it is colder, so τ is lengthened
below the target. The verdict is "will not reach" when that bound lies clearly below the target at four readings
running, over a quarter of an hour; it stands until the slope says otherwise. No fit is trusted for it.

Nothing is said where the curve is no approach to a plateau: while water may still be leaving (by the heat dose since
lighting), after a lid or a door dented the curve, while carbonate may hold it, and while it climbs as steadily as a
controller makes it do. Every limit here was set on simulated furnaces and proved on others (`saggar measure
--forecast`); none has met a real one yet. Plain arithmetic on lists, because the phone runs a twin of it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from math import inf, sqrt
from typing import Final

from bench.science.heat_dose import DRY_DOSE_C_MIN, heat_doses
from bench.science.slope_line import WINDOW_MIN, Line, Readings, line_over, noise_c, of_three_c

FIRST_VERDICT_READING: Final = 8
RUNNING: Final = 4
RUNNING_MIN: Final = 15.0
SLOWEST_TAU_MIN: Final = 180.0
"""The slowest time constant of a furnace at its target, until its own fires say better."""
RADIANT: Final = 0.8
"""The largest share of the loss at the target that goes as the fourth power of the temperature."""
SHORT: Final = 0.98
"""The bound must lie below this part of the target: a closer miss is left to the fact."""
WINDOWS_MIN: Final = (20.0, 30.0, 45.0, 60.0, 90.0)
ERRORS: Final = 2.5
ZERO_C_IN_K: Final = 273.15

CARBONATE_FROM_C, CARBONATE_TO_C = 780.0, 950.0
"""Between these the carbonates of a load may take up the heat: calcite falls apart in air from about 800 °C on, and a
charge lags behind the furnace (common practice)."""
ARREST_MIN: Final = 90.0
"""Carbonate holds a load back by no more than so many minutes of standing still, all in all (project default; a thick
load of a furnace of another structure held for 65)."""
ARREST_LEAST_MIN, ARREST_LOOK_BACK_MIN, ARREST_NOISE_C = 10.0, 300.0, 2.0

DENT_MIN: Final = 45.0
DENT_C, DENT_NOISES = 3.0, 2.0

STEADY_PART, STEADY_ERRORS = 0.9, 4.0
STEADY_OVER_MIN, STEADY_WITHIN_MIN = 120.0, 1200.0
LATEST_MIN, LATEST_READINGS = 8.0, 3


class Call(StrEnum):
    """What the slope bound says at a reading, or why it says nothing."""

    REACHED = "reached"
    STALLED = "stalled"
    POSSIBLE = "possible"
    TOO_FEW = "too-few"
    STEAM = "steam"
    DIPPED = "dipped"
    CARBONATE = "carbonate"
    STEADY = "steady"
    BELOW = "below"
    """The bound lies below and nothing speaks against it, but not yet for long enough."""


def longest_tau_min(c: float, target_c: float, tau_min: float) -> float:
    """The time constant that joins slope and remaining rise at `c`, for `tau_min` at the target; up to 2.2 times it."""
    now, end = c + ZERO_C_IN_K, target_c + ZERO_C_IN_K
    if now >= end:
        return tau_min
    return tau_min / (1 - RADIANT + RADIANT * (end * end + now * now) * (end + now) / (4 * end**3))


def dipped(readings: Readings, last: int) -> bool:
    """True when the newest three lie below what was read in 45 min, and not on a straight fall: a lid or a door."""
    noise, since = noise_c(readings, last), readings[last][0] - DENT_MIN
    best = max(of_three_c(readings, each) for each in range(2, last + 1) if readings[each][0] >= since)
    if best - of_three_c(readings, last) <= DENT_C + DENT_NOISES * noise:
        return False
    found = line_over(readings, last, DENT_MIN)
    return not (found is not None and found.falls and found.scatter_c < 2 * noise)


@dataclass
class Track:
    """The lines of one firing, reading by reading, and what they say about a target.

    `readings` are (minute, °C) since lighting. Judged are those from `changed_at_min` on, when the burner was last
    changed or a programmed segment began; the heat dose counts all. `dry`: load and lining are known to hold no water.
    `carbonate` is False only where the load is known to hold none that goes this late. What is said at a reading rests
    on that reading and those before it alone.
    """

    readings: Readings
    slowest_tau_min: float = SLOWEST_TAU_MIN
    carbonate: bool = True
    dry: bool = False
    changed_at_min: float | None = None
    used: Readings = field(init=False)
    lines: list[Line | None] = field(init=False)
    doses: Sequence[float] = field(init=False)
    _known: dict[float, list[Call]] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        changed = self.changed_at_min
        self.used = [one for one in self.readings if changed is None or one[0] >= changed]
        self.lines = [line_over(self.used, last) for last in range(len(self.used))]
        self.doses = heat_doses(self.readings)[len(self.readings) - len(self.used) :]

    def calls(self, target_c: float) -> list[Call]:
        """What could be said at each judged reading about reaching `target_c`."""
        if target_c not in self._known:
            self._known[target_c] = self._calls(target_c)
        return self._known[target_c]

    def _calls(self, target_c: float) -> list[Call]:
        found: list[Call] = []
        running, since, stalled, reached = 0, 0.0, False, False
        for last, (minute, c) in enumerate(self.used):
            reached = reached or c >= target_c
            step = Call.REACHED if reached else self._step(target_c, last)
            running = running + 1 if step is Call.BELOW else 0
            since = minute if running == 1 else since
            proved = running >= RUNNING and minute - since >= RUNNING_MIN
            stalled = not reached and (proved or (stalled and self._stays(target_c, last)))
            found.append(Call.STALLED if stalled else step)
        return found

    def call(self, target_c: float) -> Call:
        """What can be said at the newest reading about reaching `target_c`."""
        return self.calls(target_c)[-1] if self.used else Call.TOO_FEW

    def bound_c(self, target_c: float) -> float | None:
        """The highest in °C that can still come, by the newest reading; None where there is no window yet."""
        return self._bound_c(target_c, len(self.used) - 1) if self.lines and self.lines[-1] else None

    def stall_bound_c(self, target_c: float) -> float | None:
        """The lowest bound of the readings on which the present verdict stands, in °C; None where it did not stall."""
        calls = self.calls(target_c)
        first = len(calls)
        while first > 0 and calls[first - 1] is Call.STALLED:
            first -= 1
        if first == len(calls):
            return None
        since = range(max(first - RUNNING + 1, 0), len(calls))
        return min(self._bound_c(target_c, last) for last in since if self.lines[last] is not None)

    def _stays(self, target_c: float, last: int) -> bool:
        """Whether a verdict that was proved before still stands."""
        return self._leads_below(target_c, last) and not self._picks_up(target_c, last)

    def _leads_below(self, target_c: float, last: int) -> bool:
        newest = self.lines[last]
        if newest is None:
            return False
        tau = longest_tau_min(newest.now_c, target_c, self.slowest_tau_min)
        return newest.now_c + newest.slope_c_min * tau < target_c

    def _bound_c(self, target_c: float, last: int) -> float:
        """The least of the bounds of all windows. A longer one counts while the curve does not speed up."""
        noise, newest, found = noise_c(self.used, last), self.lines[last], inf
        for minutes in WINDOWS_MIN:
            each = line_over(self.used, last, minutes)
            if each is None or newest is None:
                break
            scatter = max(noise, each.scatter_c)
            rise = each.slope_c_min + ERRORS * each.error(scatter)
            if minutes > WINDOW_MIN and rise < newest.slope_c_min:
                break
            level_c = each.now_c + 2 * scatter / sqrt(each.count)
            found = min(found, level_c + max(rise, 0.0) * longest_tau_min(level_c, target_c, self.slowest_tau_min))
        return found

    def _step(self, target_c: float, last: int) -> Call:
        """What one reading says by itself; BELOW: the bound lies below, and nothing speaks against it."""
        newest = self.lines[last]
        if last + 1 < FIRST_VERDICT_READING or newest is None:
            return Call.TOO_FEW
        if self._bound_c(target_c, last) >= SHORT * target_c or self._picks_up(target_c, last):
            return Call.POSSIBLE
        if not self.dry and self.doses[last] < DRY_DOSE_C_MIN:
            return Call.STEAM
        if dipped(self.used, last):
            return Call.DIPPED
        if self._arrested(target_c, last, newest):
            return Call.CARBONATE
        return Call.STEADY if self.steady(target_c, last) else Call.BELOW

    def _picks_up(self, target_c: float, last: int) -> bool:
        """True when the newest three readings lead to the target again."""
        latest = line_over(self.used, last, LATEST_MIN, LATEST_READINGS)
        if latest is None:
            return False
        ahead = latest.slope_c_min - latest.error(noise_c(self.used, last))
        return latest.now_c + ahead * longest_tau_min(latest.now_c, target_c, self.slowest_tau_min) >= target_c

    def _arrested(self, target_c: float, last: int, newest: Line) -> bool:
        """True while carbonate may hold the curve back, and the target would be possible without it."""
        if target_c <= CARBONATE_FROM_C or not self.in_carbonate(newest):
            return False
        return self.arrested_c(target_c, last, newest) >= target_c

    def in_carbonate(self, newest: Line) -> bool:
        """True while the window lies where carbonate may hold the curve back, unless there is none."""
        return self.carbonate and newest.now_c >= CARBONATE_FROM_C and newest.lowest_c < CARBONATE_TO_C

    def arrested_c(self, target_c: float, last: int, newest: Line, arrest_min: float | None = None) -> float:
        """The bound at a reading if carbonate stood still in the curve for so many of its minutes; else ARREST_MIN.

        Without an arrest the slope only falls, so it is now at most the mean slope since any earlier reading. With one
        that took so long, the same rise took so many minutes less. The least bound of all earlier readings holds.
        """
        arrest_min = ARREST_MIN if arrest_min is None else arrest_min
        found, minute, high_c = inf, self.used[last][0], _high_c(newest)
        tau = longest_tau_min(high_c, target_c, self.slowest_tau_min)
        for earlier in range(last - 1, -1, -1):
            each = self.lines[earlier]
            left_min = minute - self.used[earlier][0] - arrest_min
            if left_min > ARREST_LOOK_BACK_MIN:
                break
            if each is None or left_min < ARREST_LEAST_MIN:
                continue
            rise_c = max(high_c - each.now_c + _high_c(each) - each.now_c, 0.0)
            found = min(found, high_c + rise_c / left_min * tau)
        return found

    def steady(self, target_c: float, last: int) -> bool:
        """True while the curve clearly climbs, about as fast as mostly in the last two hours: a controller's ramp.

        The middle slope is compared, not the fastest: a lid that was opened makes one fast stretch.
        """
        newest = self.lines[last]
        if newest is None:
            return False
        error = newest.error(max(noise_c(self.used, last), newest.scatter_c))
        rise = newest.slope_c_min + 2 * error
        if newest.slope_c_min <= STEADY_ERRORS * error or newest.now_c + rise * STEADY_WITHIN_MIN < target_c:
            return False
        since = self.used[last][0] - STEADY_OVER_MIN
        recent = (each for each, (minute, _) in zip(self.lines[: last + 1], self.used, strict=False) if minute >= since)
        slopes = sorted(each.slope_c_min for each in recent if each is not None)
        return rise > STEADY_PART * slopes[len(slopes) // 2]


def _high_c(one: Line) -> float:
    return one.now_c + 2 * max(one.scatter_c, ARREST_NOISE_C) / sqrt(one.count)
