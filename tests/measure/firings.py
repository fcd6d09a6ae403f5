"""Simulated firings whose truth is known, as a maker would have them: readings 3 to 12 min apart, in whole degrees.

Eight families of furnaces: one and two heat rates, radiating walls (plain, wet, with carbonate in the load, with a
burner that is changed), and electric ones on a controller's ramp, with good or ageing elements. A ninth, of another
structure, is in `slices.py`. The same seed gives the same firings.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tests.measure.two_nodes import END_MIN, Run, radiating, rates

FAMILIES: Final = ("one rate", "two rates", "radiating", "steam", "carbonate", "burner", "ramp", "ageing")
WATCHED_MIN: Final = 420.0
REACHED_BY_MIN: Final = 600
"""One that takes longer is neither a stall nor a firing, and is left out."""
REACH_PART: Final = 0.6

Rng = np.random.Generator
Maker = Callable[[str, Rng, int], Run]


@dataclass(frozen=True)
class Firing:
    """One firing: what was read, and what nobody at the furnace knows. Minutes since lighting, °C.

    `truth` is the probe without scatter minute by minute, `peak_c` its highest from `free_min` on, when nobody changes
    anything any more. `changed_min` is that change where it was logged, `tau_min` the slowest time constant.
    """

    family: str
    readings: list[tuple[float, float]]
    truth: NDArray[np.float64]
    target_c: float
    reached_min: float | None
    peak_c: float
    changed_min: float | None
    free_min: float
    tau_min: float | None

    @property
    def judged_from_min(self) -> float:
        """A change that nobody logged cannot be known from the readings of the same minutes."""
        return self.free_min + 8 if self.changed_min is None and self.free_min else self.free_min


def firings(family: str, count: int, seed: int, make: Maker | None = None) -> list[Firing]:
    """The firings of a family that are of use, of so many drawn; `make` simulates another structure of furnace."""
    rng = np.random.default_rng(seed)
    make = make or (rates if family in ("one rate", "two rates") else radiating)
    run = make(family, rng, count)
    found = (_firing(family, run, place, rng) for place in range(count))
    return [one for one in found if one is not None]


def _firing(family: str, run: Run, place: int, rng: Rng) -> Firing | None:
    truth, free = run.truth[:, place], float(run.free_min[place])
    since = int(np.ceil(free))
    peak = float(truth[since:].max())
    target = _target(rng, peak, float(run.set_c[place]))
    hits = np.flatnonzero(truth >= target)
    late = hits[hits >= since]
    early = len(hits) > 0 and hits[0] < max(since, 30)
    if target < 300 or early or (len(late) and late[0] > REACHED_BY_MIN):
        return None
    reached = float(late[0]) if len(late) else None
    taken = readings_of(rng, truth, min(WATCHED_MIN, reached + 15) if reached else WATCHED_MIN)
    logged, tau = float(run.logged_min[place]), float(run.tau_min[place])
    return Firing(
        family=family,
        readings=taken,
        truth=truth,
        target_c=target,
        reached_min=reached,
        peak_c=peak,
        changed_min=None if np.isnan(logged) else float(np.ceil(logged)),
        free_min=free,
        tau_min=None if np.isnan(tau) else tau,
    )


def _target(rng: Rng, peak_c: float, set_c: float) -> float:
    """3 to 200 °C below the peak, or 10 to 300 °C over it; that of the controller where it is set to one."""
    reaches = rng.random() < REACH_PART
    low, high = (3, 200) if reaches else (10, 300)
    away = float(np.exp(rng.uniform(np.log(low), np.log(high))))
    return float(round(set_c if not np.isnan(set_c) else peak_c - away if reaches else peak_c + away))


def readings_of(rng: Rng, truth: NDArray[np.float64], last_min: float) -> list[tuple[float, float]]:
    """Readings at a rhythm of the maker's own, with jitter, now and then a gap, and scatter of 0.7 to 3 °C."""
    every, scatter_c = rng.uniform(3.5, 10), float(np.exp(rng.uniform(np.log(0.7), np.log(3))))
    minute, found = rng.uniform(0, 5), []
    clock = np.arange(END_MIN + 1)
    while minute <= last_min:
        c = float(np.interp(minute, clock, truth)) + rng.normal(0, scatter_c)
        found.append((float(round(minute)), float(round(c))))
        gap = rng.random() < 0.01
        minute += rng.uniform(15, 30) if gap else min(max(every * rng.uniform(0.6, 1.4), 3), 12)
    return found
