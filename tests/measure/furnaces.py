"""Simulated furnaces, to see what the forecast says where the truth is known.

A furnace follows one or two heat rates to a plateau; readings are taken by hand in some rhythm, with scatter, written
down in whole degrees. The same seed gives the same firings.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import exp
from random import Random
from typing import Final

TARGET_C: Final = 1000.0
COLD_C: Final = 20.0
LAST_MIN: Final = 400.0
HELD_STEP_MIN: Final = 0.25

Readings = list[tuple[float, float]]
Curve = Callable[[float], float]


@dataclass(frozen=True)
class Furnace:
    """A plateau in °C, and the share of the way that goes at the fast time constant; the rest goes at the slow one."""

    name: str
    plateau_c: float
    fast_share: float
    fast_min: float
    slow_min: float

    @property
    def reaches(self) -> bool:
        """True when the plateau lies above the target."""
        return self.plateau_c > TARGET_C

    def at(self, minute: float) -> float:
        """The true temperature in °C."""
        fast, slow = exp(-minute / self.fast_min), exp(-minute / self.slow_min)
        left = self.fast_share * fast + (1 - self.fast_share) * slow
        return self.plateau_c - (self.plateau_c - COLD_C) * left


REACHING: Final = (
    Furnace("one rate of 50 min to 1100 °C", 1100, 1, 50, 50),
    Furnace("one rate of 40 min to 1030 °C", 1030, 1, 40, 40),
    Furnace("15 and 120 min to 1100 °C", 1100, 0.6, 15, 120),
    Furnace("20 and 100 min to 1100 °C", 1100, 0.7, 20, 100),
    Furnace("25 and 150 min to 1100 °C", 1100, 0.8, 25, 150),
    Furnace("10 and 90 min to 1200 °C", 1200, 0.5, 10, 90),
    Furnace("15 and 120 min to 1020 °C", 1020, 0.6, 15, 120),
)

STALLING: Final = (
    Furnace("one rate of 40 min to 720 °C", 720, 1, 40, 40),
    Furnace("one rate of 40 min to 900 °C", 900, 1, 40, 40),
    Furnace("15 and 120 min to 900 °C", 900, 0.6, 15, 120),
)


@dataclass(frozen=True)
class Rhythm:
    """How often a reading is taken, between two limits in minutes, and its scatter in °C."""

    name: str
    shortest_min: float
    longest_min: float
    scatter_c: float

    def minutes(self, random: Random) -> Iterator[float]:
        """The minutes of the readings, from 0 to the end of the firing."""
        minute = 0.0
        while minute <= LAST_MIN:
            yield minute
            minute += random.uniform(self.shortest_min, self.longest_min)


RHYTHMS: Final = (
    Rhythm("every 2 min", 2, 2, 1.5),
    Rhythm("every 5 min", 5, 5, 2.0),
    Rhythm("every 10 min", 10, 10, 2.0),
    Rhythm("every 3 to 15 min", 3, 15, 2.0),
)

SLOWEST_TAU_MIN: Final = (120.0, 180.0)


def readings(curve: Curve, rhythm: Rhythm, random: Random) -> Readings:
    """One firing as it is written down: minute and whole degrees."""
    return [
        (minute, float(round(curve(minute) + random.gauss(0, rhythm.scatter_c)))) for minute in rhythm.minutes(random)
    ]


def held(curve: Curve, at_c: float, minutes: float) -> Curve:
    """The same furnace, but its curve stands still for some minutes when it first comes to `at_c`, and then goes on."""
    start = next(step * HELD_STEP_MIN for step in range(10_000) if curve(step * HELD_STEP_MIN) >= at_c)

    def standing(minute: float) -> float:
        return curve(minute if minute < start else start if minute < start + minutes else minute - minutes)

    return standing


def slowed(curve: Curve, at_c: float, minutes: float, part: float) -> Curve:
    """The same furnace, but for some minutes from `at_c` on only this part of its time passes: a weak arrest."""
    start = next(step * HELD_STEP_MIN for step in range(10_000) if curve(step * HELD_STEP_MIN) >= at_c)

    def slow(minute: float) -> float:
        return curve(
            min(minute, start) + part * min(max(minute - start, 0.0), minutes) + max(minute - start - minutes, 0.0)
        )

    return slow
