"""A simulated gas furnace: two heat rates, a burner that can be turned, scatter in what is read; and its own truth.

A part of the heat follows the flame within minutes, the rest is the walls and takes an hour. What the furnace did is
kept second by second, so that what the screens say can be held against it.
"""

from dataclasses import dataclass, field
from math import exp
from random import Random

COLD_C = 20.0
GAS_J_MOL_K = 8.314462618
KELVIN = 273.15


@dataclass
class Burner:
    """The furnace. `goes_to_c` is where its flame would bring it in the end; turn it by setting another value."""

    goes_to_c: float
    fast_share: float = 0.6
    fast_min: float = 15.0
    slow_min: float = 60.0
    scatter_c: float = 1.5
    seed: int = 1
    truth: list[float] = field(default_factory=lambda: [COLD_C])
    """°C at the probe at each second since lighting."""

    def __post_init__(self) -> None:
        self.fast_c = self.slow_c = 0.0
        self.random = Random(self.seed)

    @property
    def second(self) -> int:
        return len(self.truth) - 1

    @property
    def c(self) -> float:
        return self.truth[-1]

    def burn(self, minutes: float) -> None:
        """Let time pass with the flame as it is."""
        over = self.goes_to_c - COLD_C
        for _ in range(round(minutes * 60)):
            self.fast_c += (self.fast_share * over - self.fast_c) / (self.fast_min * 60)
            self.slow_c += ((1 - self.fast_share) * over - self.slow_c) / (self.slow_min * 60)
            self.truth.append(COLD_C + self.fast_c + self.slow_c)

    def read(self) -> int:
        """What a hand writes down now: whole degrees, with scatter."""
        return round(self.c + self.random.gauss(0, self.scatter_c))

    def minute_reached(self, to_c: float, goes_to_c: float | None = None) -> float:
        """The minute at which it would come to a temperature if the flame stayed as it is from now on."""
        ahead = Burner(goes_to_c or self.goes_to_c, self.fast_share, self.fast_min, self.slow_min)
        ahead.truth, ahead.fast_c, ahead.slow_c = list(self.truth), self.fast_c, self.slow_c
        while ahead.c < to_c:
            assert ahead.second - self.second < 86_400, "it never gets there"
            ahead.burn(1 / 60)
        return ahead.second / 60

    # What it did, from its own seconds -------------------------------------------------------------------------------

    def min_over(self, to_c: float, from_min: float = 0.0, to_min: float = 1e9) -> float:
        """Minutes at or over a temperature."""
        return sum(c >= to_c for c in self._part(from_min, to_min)) / 60

    def peak_c(self, from_min: float = 0.0, to_min: float = 1e9) -> float:
        return max(self._part(from_min, to_min))

    def work_min(self, at_c: float, kj_mol: float, from_min: float = 0.0, to_min: float = 1e9) -> float:
        """Minutes at a temperature that would have done the same, by the Arrhenius integral over every second."""
        per_k, at_k = kj_mol * 1000 / GAS_J_MOL_K, at_c + KELVIN
        return sum(exp(-per_k * (1 / (c + KELVIN) - 1 / at_k)) for c in self._part(from_min, to_min)) / 60

    def _part(self, from_min: float, to_min: float) -> list[float]:
        return self.truth[round(from_min * 60) : round(min(to_min, 1e8) * 60)]
