"""`--forecast`: what the forecast says of simulated firings, whose truth is known.

False alarms are counted at any reading of a firing, not only at its end: one sentence too early wastes a day.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from random import Random
from statistics import median
from typing import Final

from bench.measure.figure import Figure
from bench.measure.furnaces import (
    REACHING,
    RHYTHMS,
    SLOWEST_TAU_MIN,
    STALLING,
    TARGET_C,
    Curve,
    Furnace,
    Rhythm,
    climbing,
    held,
    readings,
    slowed,
)
from bench.science.forecast import Verdict, forecast
from bench.science.slope_bound import Call, Track

NAME = "forecast"
SEED: Final = 2718
RUNS: Final = 50
"""Firings for each furnace, rhythm and slowest time constant: 2,800 that reach the target and 1,200 that stall."""

STEAM_C, CARBONATE_C = 100.0, 820.0
PROMISE_EVERY: Final = 6
"""Promises are looked for at every sixth reading only, for time."""


@dataclass
class Tally:
    """What was said of a group of firings."""

    firings: int = 0
    alarms: int = 0
    minutes: list[float] = field(default_factory=list)

    def add(self, found: float | None) -> None:
        """Count one firing, and the minute at which it was said that the target will not be reached."""
        self.firings += 1
        if found is not None:
            self.alarms += 1
            self.minutes.append(found)


def alarm_min(taken: list[tuple[float, float]], slowest_tau_min: float) -> float | None:
    """The minute at which "will not reach" is first said, or None."""
    calls = Track(taken, slowest_tau_min).calls(TARGET_C)
    return next((minute for (minute, _), call in zip(taken, calls, strict=True) if call is Call.STALLED), None)


def tally(furnaces: Iterable[Furnace], rhythm: Rhythm, runs: int, random: Random) -> Tally:
    """Alarms over all furnaces, `runs` firings each for every slowest time constant."""
    found = Tally()
    for furnace in furnaces:
        for slowest_tau_min in SLOWEST_TAU_MIN:
            for _ in range(runs):
                found.add(alarm_min(readings(furnace.at, rhythm, random), slowest_tau_min))
    return found


def tally_curves(curves: Iterable[Curve], runs: int, random: Random) -> Tally:
    """Alarms over any curves, in every rhythm, at the usual slowest time constant."""
    found = Tally()
    for curve in curves:
        for rhythm in RHYTHMS:
            for _ in range(runs):
                found.add(alarm_min(readings(curve, rhythm, random), SLOWEST_TAU_MIN[0]))
    return found


def false_promises(runs: int, random: Random) -> Tally:
    """Promises that the target will be reached, made to furnaces that stall."""
    found = Tally()
    for furnace in STALLING:
        for rhythm in RHYTHMS:
            for _ in range(runs):
                taken = readings(furnace.at, rhythm, random)
                looked = (taken[:count] for count in range(10, len(taken) + 1, PROMISE_EVERY))
                found.add(next((t[-1][0] for t in looked if _promised(t)), None))
    return found


def _promised(taken: list[tuple[float, float]]) -> bool:
    return forecast(taken, TARGET_C).verdict is Verdict.WILL_REACH


def held_curves() -> list[Curve]:
    """Furnaces that reach the target, held by steam for up to 40 minutes or by carbonate for up to 20."""
    return [
        held(furnace.at, at_c, minutes)
        for furnace in REACHING[:1]
        for at_c, minutes in ((STEAM_C, 15), (STEAM_C, 40), (CARBONATE_C, 10), (CARBONATE_C, 20))
    ]


def slowed_curves() -> list[tuple[Curve, tuple[float, ...]]]:
    """Furnaces of one and two rates, near the bound too, weakly held by carbonate; each with the bounds it keeps."""
    return [
        (slowed(furnace.at, at_c, minutes, part), tuple(t for t in SLOWEST_TAU_MIN if t >= furnace.slow_min))
        for furnace in REACHING
        for at_c in (785, 820, 880)
        for minutes, part in ((20, 0.0), (40, 0.3), (60, 0.5))
    ]


def tally_slowed(runs: int, random: Random) -> Tally:
    """Alarms over weakly held furnaces that reach the target, in every rhythm, for each bound that they keep."""
    found = Tally()
    for curve, bounds in slowed_curves():
        for rhythm in RHYTHMS:
            for slowest_tau_min in bounds:
                for _ in range(runs):
                    found.add(alarm_min(readings(curve, rhythm, random), slowest_tau_min))
    return found


def run(runs: int = RUNS, seed: int = SEED) -> list[Figure]:
    """All figures; about half a minute at the usual number of runs."""
    random = Random(seed)
    figures, false, firings = [], 0, 0
    for rhythm in RHYTHMS:
        reaching = tally(REACHING, rhythm, runs, random)
        false, firings = false + reaching.alarms, firings + reaching.firings
        figures += _stalls(rhythm, tally(STALLING, rhythm, runs, random))
    few = max(1, runs // 5)
    standing = tally_curves(held_curves(), few, random)
    steady = tally_curves([climbing(rate) for rate in (2.5, 5, 10)], few, random)
    weak = tally_slowed(max(1, runs // 25), random)
    promised = false_promises(max(1, runs // 10), random)
    return [
        Figure(f"false alarms in {firings:,} firings that reach the target", false, "firings", "0", false == 0),
        *figures,
        _none("false alarms while steam or carbonate holds the curve", standing),
        _none("false alarms while carbonate holds the curve weakly, furnaces near the bound too", weak),
        _none("false alarms on a controller's straight climb", steady),
        _none("promises to furnaces that stall", promised),
    ]


def _stalls(rhythm: Rhythm, found: Tally) -> list[Figure]:
    called = 100 * found.alarms / found.firings
    name = f"{found.firings} stalls, {rhythm.name}"
    figures = [Figure(f"{name}: called", called, "%", "100", found.alarms == found.firings)]
    if found.minutes:
        figures.append(Figure(f"{name}: median until called", median(found.minutes), "min"))
    return figures


def _none(name: str, found: Tally) -> Figure:
    return Figure(f"{name}, of {found.firings} firings", found.alarms, "firings", "0", found.alarms == 0)
