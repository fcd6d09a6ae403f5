"""The heat dose of a firing: what water in its load and lining was offered since lighting.

Plain arithmetic on lists; the phone runs a twin of it. Its limit was proved in simulation (`saggar measure`).
"""

from itertools import pairwise
from typing import Final

from bench.science.slope_line import Readings

DOSE_FROM_C: Final = 100.0
DRY_DOSE_C_MIN: Final = 60_000.0
"""°C·min over 100 °C since lighting by which a wet load and lining have boiled dry: some 30 kg of water for each square
metre of wall, at 20 W/m²K."""


def heat_doses(readings: Readings) -> list[float]:
    """At each of (minute, °C) readings the °C·min over 100 °C since the first: what water at 100 °C was offered."""
    found = [0.0] if readings else []
    for (before, low_c), (minute, c) in pairwise(readings):
        mean = (max(low_c - DOSE_FROM_C, 0.0) + max(c - DOSE_FROM_C, 0.0)) / 2
        found.append(found[-1] + mean * (minute - before))
    return found
