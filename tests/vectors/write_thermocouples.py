"""Writes thermocouples.json: what a meter showed, in mV over its clamps, and the degrees. For the twin on the phone.

python -m tests.vectors.write_thermocouples; the truth of the Python module is tested elsewhere against the tables of
NIST SRD 60. Each case holds what the phone is told of a type, and readings [mV, °C of the clamps, °C or None].
"""

from random import Random
from typing import Any

from bench.science.refusal import Refusal
from bench.science.thermocouples import TYPES, range_c, reference_mv, reference_of, temperature_c
from tests.vectors.files import write


def case(letter: str, chance: Random) -> dict[str, Any]:
    """One type: over its whole range, at both ends, just outside, and with clamps that are out of it."""
    low, high = range_c(letter)
    at = [low, high, *(chance.uniform(low, high) for _ in range(24))]
    asked = [(round(reference_mv(letter, c), 3), cold) for c in at for cold in (0.0, 23.5)]
    asked += [
        (reference_mv(letter, high) + 0.001, 0.0),
        (reference_mv(letter, low) - 1.0, 0.0),
        (0.0, -400.0),
        (0.0, 0.0),
    ]
    return {"letter": letter, "probe": reference_of(letter), "read": [[*one, celsius(letter, *one)] for one in asked]}


def celsius(letter: str, mv: float, cold_c: float) -> float | None:
    """°C, or None where the laptop refuses it."""
    try:
        return temperature_c(letter, mv, cold_c)
    except Refusal:
        return None


def cases() -> list[dict[str, Any]]:
    """All eight types."""
    chance = Random(90)
    return [case(letter, chance) for letter in TYPES]


if __name__ == "__main__":
    write("thermocouples", cases())
