"""`wash`: the dissolved salt that stays after so many washes."""

from typing import Any

from bench.reckoning.ask import Ask
from bench.reckoning.kind import Field, Kind
from bench.reckoning.working import step
from bench.reference import Library
from bench.science.powders import salt_left_g
from bench.translation import _


def run(ask: Ask, library: Library) -> dict[str, Any]:
    """Salt left in g; each wash leaves the same fraction of the liquor in the cake."""
    salt_g = ask.number("salt_g", low=0, high=1e6)
    left_fraction = ask.number("left_fraction", low=0, high=1)
    count = ask.whole("count", 0, 1000)
    left_g = salt_left_g(salt_g, left_fraction, count)
    return {
        "salt_left_g": left_g,
        "salt_left_pct": 100 * left_g / salt_g if salt_g > 0 else None,
        "working": [
            step(
                _(
                    "{salt_g:g} g × {left_fraction:g} to the power {count}",
                    salt_g=salt_g,
                    left_fraction=left_fraction,
                    count=count,
                ),
                left_g,
                "g",
            ),
            step(_("All salt counts as dissolved at every wash. Test the last water."), source="common-practice"),
        ],
    }


KIND = Kind(
    name="wash",
    summary="salt left after a number of washes",
    fields=(
        Field("salt_g", "g", "Dissolved salt at the start."),
        Field("left_fraction", "0 to 1", "The part of the liquor that stays with the powder at each wash."),
        Field("count", "number", "How many washes."),
    ),
    example={"salt_g": 20, "left_fraction": 0.2, "count": 4},
    run=run,
)
