"""One line of a meter that talks over a cable: the numbers in it, and the one that is the temperature."""

import re

from bench.science.refusal import Refusal
from bench.science.thermocouples import c_from_f
from bench.translation import _

NUMBER = re.compile(r"(?<![\w.])[-+]?\d+(?:[.,]\d+)?(?!\d|\.\d|[eE][-+]?\d)")
LEAST_C, MOST_C = -50.0, 2000.0


def numbers_in(line: str) -> list[float]:
    """The numbers of a line in their order; what is glued to a letter, as the 1 of `T1=`, is a name and no number."""
    return [float(found.replace(",", ".")) for found in NUMBER.findall(line)]


def line_temperature(line: str, at: int = 1, unit: str = "C") -> tuple[float, float]:
    """The temperature in a line: (°C, the number as it was sent). `at` counts the numbers from 1; `unit` is C or F.

    Raises Refusal where the line has no such number, or where no furnace has this temperature.
    """
    found = numbers_in(line)
    if not 1 <= at <= len(found):
        raise Refusal(_("There is no number {at} in this line.", at=at))
    raw = found[at - 1]
    c = c_from_f(raw) if unit == "F" else raw
    if not LEAST_C <= c <= MOST_C:
        raise Refusal(_("{raw:g} is not a possible furnace temperature.", raw=raw))
    return c, raw
