"""Simulated furnaces of another structure, which no rule was ever set on: a wall of eight slices that conducts heat.

Chamber and hot face exchange heat by convection and as a grey cavity; the wall's conductivity grows with temperature
and its outside radiates; slices hold water that boils by its enthalpy; a load has its own heat capacity and carbonate
that takes up heat over a range; a probe in a tube lags twice and sees the cold load. Electric: a proportional band with
a limit of power. SI units for each square metre of wall; figures of the materials are usual ones, from memory.
"""

from typing import Final

import numpy as np

from tests.measure.two_nodes import AIR_K, BOIL_K, END_MIN, ZERO_K, Each, Rng, Run

FAMILIES: Final = ("slices, gas", "slices, wet", "slices, carbonate", "slices, electric")
SLICES: Final = 8
STEP_S: Final = 4.0
BOLTZMANN: Final = 5.67e-8
BOIL_J_KG: Final = 2.26e6
CO2_J_KG: Final = 1.78e6
"""Heat taken up by a kilogram of calcium carbonate that falls apart."""
HEAT_J_KG_K, LOAD_J_KG_K, CHAMBER_J_M2K = 1000.0, 900.0, 8000.0


class Walls:
    """So many furnaces of one family as drawn, and their state as it is stepped. `swing`: of the burner's power."""

    def __init__(self, family: str, rng: Rng, count: int, swing: float) -> None:
        self.family, self.count = family, count
        self.electric, self.wet = family == "slices, electric", family == "slices, wet"
        self._wall(rng)
        self._power(rng, swing)
        self._load(rng)
        warm = np.where(rng.random(count) < 0.2, rng.uniform(20, 150, count), 0.0) * (family == "slices, gas")
        self.slices = np.full((count, SLICES), AIR_K) + warm[:, None]
        self.chamber, self.load = AIR_K + warm, np.full(count, AIR_K)
        self.tube, self.probe = np.full(count, AIR_K), np.full(count, AIR_K)

    def _wall(self, rng: Rng) -> None:
        count = self.count
        thin = rng.random(count) < 0.6
        thick_m = np.where(thin, rng.uniform(0.03, 0.08, count), rng.uniform(0.05, 0.12, count))
        self.hard = rng.random(count) < 0.3
        density = np.where(self.hard, rng.uniform(1100, 1700, count), rng.uniform(300, 800, count))
        self.conducts = np.where(self.hard, rng.uniform(0.35, 0.8, count), rng.uniform(0.09, 0.22, count))
        self.conducts_more = rng.uniform(0.0003, 0.001, count)
        self.slice_m = thick_m / SLICES
        self.stores = density * HEAT_J_KG_K * self.slice_m
        wet = np.arange(SLICES)[None, :] < rng.integers(1, 7, count)[:, None]
        self.water = np.where(wet, (density * self.slice_m * rng.uniform(0.01, 0.12, count))[:, None], 0.0) * self.wet

    def _power(self, rng: Rng, swing: float) -> None:
        count, gas = self.count, not self.electric
        self.full_w = rng.uniform(4e3, 9e3, count) * np.where(self.hard, 1.5, 1.0)
        self.flue = rng.uniform(1.2, 6.0, count) * gas
        self.swing, self.phase = rng.uniform(0, 1, count) * swing * gas, rng.uniform(0, 2 * np.pi, count)
        self.swing_s = rng.uniform(20, 60, count) * 60
        self.fall = np.where(rng.random(count) < 0.5, rng.uniform(0.05, 0.3, count), 0.0) * gas
        self.fall_s = rng.uniform(80, 400, count) * 60
        self.rate_k_s = np.exp(rng.uniform(np.log(0.8), np.log(6), count)) / 60
        self.top_c, self.age = rng.uniform(600, 1200, count), rng.uniform(0, 0.12, count)
        self.doors = [
            (rng.uniform(15, 380, count) * 60, rng.uniform(60, 300, count), rng.random(count) < 0.35) for _ in range(3)
        ]

    def _load(self, rng: Rng) -> None:
        count = self.count
        self.load_j_k = rng.uniform(1, 12, count) * LOAD_J_KG_K
        self.load_water = rng.uniform(0, 2, count) * self.wet
        self.carbonate_j = rng.uniform(0.3, 2.5, count) * CO2_J_KG * (self.family == "slices, carbonate")
        self.lags_s = rng.uniform(20, 90, count), rng.uniform(20, 90, count)
        self.sees_load = rng.uniform(0, 0.15, count)

    def step(self, second: float) -> None:
        """One step on."""
        face = self.slices[:, 0]
        to_wall = 15 + BOLTZMANN * 0.6 * (self.chamber**2 + face**2) * (self.chamber + face)
        to_load = 6 + BOLTZMANN * 0.3 * (self.chamber**2 + self.load**2) * (self.chamber + self.load)
        wall_w, load_w = to_wall * (self.chamber - face), to_load * (self.chamber - self.load)
        door = np.sum([(second >= at) & (second < at + long) & on for at, long, on in self.doors], axis=0)
        open_w = door * (20 * (self.chamber - AIR_K) + BOLTZMANN * 0.4 * (self.chamber**4 - AIR_K**4))
        net = self.power(second) - self.flue * (self.chamber - AIR_K) - wall_w - load_w - open_w
        stiff = 1 + STEP_S * (self.flue + to_wall + to_load + door * 60) / CHAMBER_J_M2K
        self.chamber = self.chamber + STEP_S * net / CHAMBER_J_M2K / stiff
        self._through_wall(wall_w)
        self._into_load(STEP_S * load_w)
        seen = (1 - self.sees_load) * self.chamber + self.sees_load * self.load
        self.tube = self.tube + STEP_S * (seen - self.tube) / self.lags_s[0]
        self.probe = self.probe + STEP_S * (self.tube - self.probe) / self.lags_s[1]

    def power(self, second: float) -> Each:
        """What the burner gives with its bottle and its swing, or the elements by their controller."""
        if self.electric:
            aim = np.minimum(AIR_K + self.rate_k_s * second, self.top_c + ZERO_K + 4)
            worn = 1 - self.age * min(second / 18_000, 1.0)
            return np.asarray(self.full_w * np.clip((aim - self.probe) / 8 + 0.5, 0, 1) * worn)
        bottle = 1 - self.fall * (1 - np.exp(-second / self.fall_s))
        return np.asarray(self.full_w * bottle * (1 + self.swing * np.sin(second / self.swing_s + self.phase)))

    def _through_wall(self, wall_w: Each) -> None:
        here = self.slices
        conducts = self.conducts[:, None] * (1 + self.conducts_more[:, None] * (here - ZERO_K))
        across = 0.5 * (conducts[:, 1:] + conducts[:, :-1]) * (here[:, :-1] - here[:, 1:]) / self.slice_m[:, None]
        out = 8 * (here[:, -1] - AIR_K) + BOLTZMANN * 0.9 * (here[:, -1] ** 4 - AIR_K**4)
        flows = np.concatenate([wall_w[:, None], across, out[:, None]], 1)
        after = here + STEP_S * (flows[:, :-1] - flows[:, 1:]) / self.stores[:, None]
        if self.wet:
            over_j = np.maximum(after - BOIL_K, 0) * self.stores[:, None]
            boiled = np.minimum(over_j / BOIL_J_KG, self.water)
            self.water = self.water - boiled
            after = after - boiled * BOIL_J_KG / self.stores[:, None]
        self.slices = after

    def _into_load(self, joules: Each) -> None:
        over_j = np.maximum(self.load + joules / self.load_j_k - BOIL_K, 0) * self.load_j_k
        boiled = np.minimum(over_j / BOIL_J_KG, self.load_water)
        self.load_water = self.load_water - boiled
        joules = joules - boiled * BOIL_J_KG
        part = np.clip((self.load - ZERO_K - 780) / 60, 0, 1)
        taken = np.minimum(part * np.maximum(joules, 0), self.carbonate_j)
        self.carbonate_j = self.carbonate_j - taken
        self.load = self.load + (joules - taken) / self.load_j_k


def conducting(family: str, rng: Rng, count: int, swing: float = 0.0) -> Run:
    """Furnaces of slices; with a `swing` the burner's power drifts slowly by up to that part."""
    walls = Walls(family, rng, count, swing)
    truth, per = np.empty((END_MIN + 1, count)), round(60 / STEP_S)
    for step in range(END_MIN * per + 1):
        if step % per == 0:
            truth[step // per] = walls.probe - ZERO_K
        walls.step(step * STEP_S)
    none = np.full(count, np.nan)
    aimed = walls.electric & (rng.random(count) < 0.9)
    return Run(truth, none, none, np.zeros(count), np.where(aimed, np.round(walls.top_c) - 5, np.nan))


def drifting(family: str, rng: Rng, count: int) -> Run:
    """The same with a burner that swings by up to 5 % over two to six hours, as a regulator warms or wind drops."""
    return conducting(family, rng, count, swing=0.05)
