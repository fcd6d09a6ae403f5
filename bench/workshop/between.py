"""Which level of a series would come nearest to a colour: read off straight lines between the levels that were made.

It is a guess to be tried, from few batches: nothing here says that the factor does it.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from bench.records.kinds import SeriesPlanned
from bench.records.state import State
from bench.science.colour import Lab, de00
from bench.workshop.series_results import level_labs, series_batches

STEPS = 20
"""So many steps of each gap between two levels are tried, and as many beyond the first and the last one."""
WORTH_DE = 0.5
"""A level that would come nearer by less than this is not worth a batch (project default)."""
MOST = 4


@dataclass(frozen=True)
class Guess:
    """A level that may come nearest. `de` is how far off it would be; `beyond`: outside of what was made."""

    level: float
    de: float
    beyond: bool


@dataclass(frozen=True)
class Between:
    """A guess within a series. `made_de` is how far off the nearest level is that was made.

    `batch` is the nearest one that was planned in the series itself, which its control was not.
    """

    series: str
    plan: SeriesPlanned
    guess: Guess
    made_de: float
    batch: str


def guesses(state: State, wanted: Lab) -> list[Between]:
    """The guesses of all series whose levels are numbers and were measured, the nearest first."""
    found = [one for thing in state.things("series") if (one := _of_series(state, thing, wanted)) is not None]
    return sorted(found, key=lambda one: one.guess.de)[:MOST]


def _of_series(state: State, thing: str, wanted: Lab) -> Between | None:
    plan = state.slot(thing, "series.planned").body
    if plan is None or not state.exists(thing):
        return None
    known = {float(level): lab for level, lab in level_labs(state, thing).items() if _is_number(level)}
    guess = nearest_level(known, wanted)
    if guess is None:
        return None
    off = {level: de00(lab, wanted) for level, lab in known.items()}
    own = [one for one in series_batches(state, thing) if one.level in off and one.view.plan.series == thing]
    if not own:
        return None
    near = min(own, key=lambda one: off[float(one.level)])
    return Between(thing, plan, guess, min(off.values()), near.view.id)


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def nearest_level(known: Mapping[float, Lab], wanted: Lab) -> Guess | None:
    """The level that straight lines bring nearest, or None where none would come much nearer than what was made."""
    if len(known) < 2:
        return None
    made_de = min(de00(lab, wanted) for lab in known.values())
    best = min(
        (Guess(level, de00(lab, wanted), beyond) for level, lab, beyond in _tried(known)), key=lambda one: one.de
    )
    return best if best.de <= made_de - WORTH_DE else None


def _tried(known: Mapping[float, Lab]) -> Iterator[tuple[float, Lab, bool]]:
    """The levels that are tried: within each gap, and as far again beyond both ends, though never under nothing."""
    levels = sorted(known)
    for low, high in pairwise(levels):
        yield from ((*_at(known, low, high, n / STEPS), False) for n in range(1, STEPS))
    for end, inner in ((levels[0], levels[1]), (levels[-1], levels[-2])):
        for n in range(1, STEPS + 1):
            level, lab = _at(known, end, inner, -n / STEPS)
            if level > 0:
                yield level, lab, True


def _at(known: Mapping[float, Lab], one: float, other: float, share: float) -> tuple[float, Lab]:
    """The level so far on from one to the other, in three digits, and its colour on the straight line."""
    level = float(f"{one + share * (other - one):.3g}")
    part = (level - one) / (other - one)
    l_, a, b = (known[one][axis] + part * (known[other][axis] - known[one][axis]) for axis in range(3))
    return level, (l_, a, b)
