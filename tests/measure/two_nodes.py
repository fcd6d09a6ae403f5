"""Simulated furnaces of two heat nodes, many at a time: a chamber with its load, and a wall that loses heat.

Chamber: C1·dT1/dt = P - F·(T1 - Ta) - X - lid - load.  Wall: C2·dT2/dt = X - h·(T2 - Ta) - k·(T2⁴ - Ta⁴).
Between them X = g·(T1 - T2) + kx·(T1⁴ - T2⁴); a probe that lags behind the chamber. Temperatures in K, heat in units of
the power at lighting, minutes. C2 is chosen so that the slower time constant at the plateau is the one drawn.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

END_MIN: Final = 1000
AIR_K: Final = 293.15
ZERO_K: Final = 273.15
BOIL_K: Final = 373.15
STEP_MIN: Final = 0.1
NEVER_MIN: Final = 1e9

Rng = np.random.Generator
Each = NDArray[np.float64]


@dataclass(frozen=True)
class Run:
    """What was simulated: probe in °C by minute and furnace, and of each furnace what nobody at it knows; NaN: none."""

    truth: Each
    tau_min: Each
    logged_min: Each
    free_min: Each
    set_c: Each


def log_uniform(rng: Rng, count: int, low: float, high: float) -> Each:
    """Drawn evenly on a logarithmic scale."""
    return np.exp(rng.uniform(np.log(low), np.log(high), count))


def rates(family: str, rng: Rng, count: int) -> Run:
    """Furnaces of one or two heat rates to a plateau."""
    minute, end = np.arange(END_MIN + 1.0)[:, None], rng.uniform(550, 1350, count)
    if family == "one rate":
        tau = log_uniform(rng, count, 15, 160)
        left = np.exp(-minute / tau)
    else:
        fast, tau, part = rng.uniform(8, 30, count), rng.uniform(60, 160, count), rng.uniform(0.25, 0.8, count)
        left = part * np.exp(-minute / fast) + (1 - part) * np.exp(-minute / tau)
    none = np.full(count, np.nan)
    return Run(end - (end - 20) * left, tau, none, np.zeros(count), none)


class Furnaces:
    """So many furnaces of one family as drawn, and their state as it is stepped."""

    def __init__(self, family: str, rng: Rng, count: int) -> None:
        self.family, self.count = family, count
        self.electric = family in ("ramp", "ageing")
        self._walls(rng)
        self._power(rng)
        self.lids = [
            (rng.uniform(15, 380, count), rng.uniform(1, 5, count), rng.uniform(0.5, 2, count) * self._some(rng, 0.45))
            for _ in range(4)
        ]
        self._water(rng)
        self._carbonate(rng)
        warm = self._some(rng, 0.2) * rng.uniform(60, 250, count) * (not self.electric and family != "steam")
        self.chamber, self.wall, self.probe = AIR_K + 0.7 * warm, AIR_K + warm, AIR_K + 0.7 * warm

    def _some(self, rng: Rng, part: float) -> Each:
        return np.where(rng.random(self.count) < part, 1.0, 0.0)

    def _walls(self, rng: Rng) -> None:
        count = self.count
        self.end = rng.uniform(550, 1350, count) + ZERO_K
        flue = np.zeros(count) if self.electric else rng.uniform(0.2, 0.6, count)
        share, self.tau_min = rng.uniform(0.2, 0.8, count), log_uniform(rng, count, 25, 160)
        drop, radiates = rng.uniform(20, 150, count), rng.uniform(0, 0.8, count)
        part = log_uniform(rng, count, 0.02, 0.2)
        wall, through = self.end - drop, 1 - flue
        self.flue = flue / (self.end - AIR_K)
        self.loss, self.loss4 = (1 - share) * through / (wall - AIR_K), share * through / (wall**4 - AIR_K**4)
        self.between, self.between4 = (1 - radiates) * through / drop, radiates * through / (self.end**4 - wall**4)
        from_chamber = self.between + 4 * self.between4 * self.end**3
        from_wall = self.between + 4 * self.between4 * wall**3
        out = self.loss + 4 * self.loss4 * wall**3
        # Linear in C2: the slower eigenvalue of the furnace at its plateau is -1/tau.
        a, d = -(self.flue + from_chamber) / part, -(from_wall + out)
        trace, det = a + d, a * d - from_wall / part * from_chamber
        self.c2 = self.tau_min * (-trace - np.sqrt(np.maximum(trace**2 - 4 * det, 0))) / 2
        self.c1 = part * self.c2
        self.lag_min = rng.uniform(0.5, 4, count)

    def _power(self, rng: Rng) -> None:
        """A bottle loses pressure, a burner is changed, an element ages, a controller climbs to what it is set to."""
        count = self.count
        self.fall = self._some(rng, 0.5) * rng.uniform(0.05, 0.35, count) * (not self.electric)
        self.fall_min = rng.uniform(80, 400, count)
        self.factor, self.change_min = np.ones(count), np.full(count, NEVER_MIN)
        if self.family == "burner":
            self.change_min = rng.uniform(40, 180, count)
            up = rng.random(count) < 0.7
            self.factor = np.where(up, rng.uniform(1.05, 1.5, count), rng.uniform(0.75, 0.95, count))
        self.rate = log_uniform(rng, count, 0.8, 6)
        low, high = (0.75, 1.25) if self.family == "ramp" else (0.85, 1.1)
        self.top = (self.end - ZERO_K) * rng.uniform(low, high, count) + ZERO_K
        self.age = rng.uniform(0, 0.15, count) * (self.family == "ageing")

    def _water(self, rng: Rng) -> None:
        """A wet lining holds the wall at 100 °C or slows it there; a wet load takes heat out of the chamber."""
        count, wet = self.count, self.family == "steam"
        lining = self._some(rng, 0.6)
        self.held_min = lining * rng.uniform(8, 70, count) * wet
        self.slowed = np.where(rng.random(count) < 0.5, 1.0, rng.uniform(0.6, 1, count))
        self.sink = rng.uniform(0.15, 0.6, count) / (self.end - AIR_K)
        self.water = (1 - lining) * self.sink * (0.5 * self.end - BOIL_K) * rng.uniform(10, 60, count) * wet

    def _carbonate(self, rng: Rng) -> None:
        count = self.count
        self.arrest_min = rng.uniform(5, 30, count) * (self.family == "carbonate")
        self.arrest_at, self.arrest_part = rng.uniform(785, 900, count) + ZERO_K, rng.uniform(0.8, 1, count)

    def step(self, minute: float) -> None:
        """One step on."""
        across = self.between * (self.chamber - self.wall) + self.between4 * (self.chamber**4 - self.wall**4)
        heat = self.power(minute, across) - self.flue * (self.chamber - AIR_K) - across
        heat = heat - self.lid(minute) * (self.chamber - AIR_K) / (self.end - AIR_K) - self.boiling()
        stiff = self.flue + self.between + 4 * self.between4 * self.chamber**3
        d1 = heat / self.c1 / (1 + STEP_MIN * stiff / self.c1)  # linearly implicit: the chamber is quick
        lost = self.loss * (self.wall - AIR_K) + self.loss4 * (self.wall**4 - AIR_K**4)
        d2 = self.held((across - lost) / self.c2)
        self.chamber, before = self.chamber + self.arrested(d1) * STEP_MIN, self.chamber
        self.wall = self.wall + d2 * STEP_MIN
        self.probe = self.probe + STEP_MIN * (before - self.probe) / self.lag_min

    def power(self, minute: float, across: Each) -> Each:
        """What the burner gives, or what the controller lets the elements give."""
        if not self.electric:
            bottle = 1 - self.fall * (1 - np.exp(-minute / self.fall_min))
            return np.asarray(bottle * np.where(minute >= self.change_min, self.factor, 1.0))
        aim = np.minimum(AIR_K + self.rate * minute, self.top)
        want = self.flue * (self.chamber - AIR_K) + across + self.c1 * np.clip((aim - self.chamber) / 2, -10, 10)
        return np.clip(want, 0, 1 - self.age * min(minute / 300, 1.0))

    def lid(self, minute: float) -> Each:
        """How far the lid is open."""
        ajar = [np.where((minute >= at) & (minute < at + long), much, 0.0) for at, long, much in self.lids]
        return np.asarray(np.sum(ajar, axis=0))

    def boiling(self) -> Each:
        """The heat that a wet load takes."""
        if self.family != "steam":
            return np.zeros(self.count)
        take = np.where((self.water > 0) & (self.chamber > BOIL_K), self.sink * (self.chamber - BOIL_K), 0.0)
        self.water = self.water - take * STEP_MIN
        return take

    def held(self, d2: Each) -> Each:
        """A wet lining's climb while its water boils."""
        if self.family != "steam":
            return d2
        held = (self.wall >= BOIL_K) & (self.held_min > 0) & (d2 > 0)
        self.held_min = self.held_min - held * STEP_MIN
        return np.where(held, d2 * (1 - self.slowed), d2)

    def arrested(self, d1: Each) -> Each:
        """The chamber's climb while carbonate takes up the heat."""
        if self.family != "carbonate":
            return d1
        here = (self.chamber >= self.arrest_at) & (self.chamber < self.arrest_at + 25)
        held = here & (self.arrest_min > 0) & (d1 > 0)
        self.arrest_min = self.arrest_min - held * STEP_MIN
        return np.where(held, d1 * (1 - self.arrest_part), d1)


def radiating(family: str, rng: Rng, count: int) -> Run:
    """Furnaces of two nodes whose walls radiate."""
    furnaces = Furnaces(family, rng, count)
    truth, per = np.empty((END_MIN + 1, count)), round(1 / STEP_MIN)
    for step in range(END_MIN * per + 1):
        if step % per == 0:
            truth[step // per] = furnaces.probe - ZERO_K
        furnaces.step(step * STEP_MIN)
    changed = np.where(furnaces.change_min < NEVER_MIN, furnaces.change_min, np.nan)
    logged = np.where(rng.random(count) < 0.8, changed, np.nan)
    aimed = furnaces.electric & (rng.random(count) < 0.9)  # a controller is mostly set to the target
    set_c = np.where(aimed, np.round(furnaces.top - ZERO_K) - 3, np.nan)
    return Run(truth, furnaces.tau_min, logged, np.nan_to_num(changed, nan=0.0), set_c)
