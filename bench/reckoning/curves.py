"""Reads a firing curve from an ask: readings of time and temperature, in order and of a size that occurs."""

from bench.reckoning.ask import Ask
from bench.science.heat_work import ZERO_C_IN_K
from bench.science.refusal import Refusal
from bench.translation import _

MOST_READINGS = 5000
HOTTEST_C = 3000.0
LONGEST_MIN = 1e6


def readings(ask: Ask, fewest: int = 1, name: str = "readings") -> list[tuple[float, float]]:
    """The curve as (minute, °C) in the order of time; refuses what stands out of order or cannot be, with its place."""
    found: list[tuple[float, float]] = ask.pairs(name, fewest=fewest, most=MOST_READINGS)
    before = -LONGEST_MIN
    for place, (minute, c) in enumerate(found):
        where = f"{ask.field(name)}[{place}]"
        if not -LONGEST_MIN <= minute <= LONGEST_MIN:
            raise Refusal(_("The minute {minute:g} is out of range.", minute=minute), where)
        if minute < before:
            raise Refusal(
                _(
                    "Readings must follow in time: {minute:g} min comes after {before:g} min.",
                    minute=minute,
                    before=before,
                ),
                where,
            )
        if not -ZERO_C_IN_K < c <= HOTTEST_C:
            raise Refusal(
                _(
                    "{c:g} °C is not a possible reading. It must be between -273.15 and {hottest_c:g} °C.",
                    c=c,
                    hottest_c=HOTTEST_C,
                ),
                where,
            )
        before = minute
    return found
