"""Crucibles taken for one another: found by the empty mass where marks failed, with the swaps that would explain it.

The tare is the third proof of identity, after the mark and the place on the map. A crucible that weighs empty what
another one of the same fire weighed before it was filled, and not what it weighed itself, is probably that other one.
"""

from dataclasses import dataclass
from itertools import permutations

from bench.records.state import State
from bench.workshop.things.charges import charge
from bench.workshop.things.crucibles import tare_at
from bench.workshop.things.firings import charges_in

WITHIN_G = 0.10
"""A crucible weighs empty after a fire what it weighed before, within this: what sticks or wears is less (our own
default). Stuck grams that were noted are allowed on top."""
MOST_TOGETHER = 6


@dataclass(frozen=True)
class Weighed:
    """One crucible of a fire as it was weighed empty after: what it should weigh, and what it did."""

    charge: str
    crucible: str
    tare_g: float
    after_g: float
    allowed_g: float

    @property
    def off_g(self) -> float:
        """Grams by which it weighs more than its tare."""
        return self.after_g - self.tare_g

    @property
    def fits(self) -> bool:
        return abs(self.off_g) <= self.allowed_g


@dataclass(frozen=True)
class MixUp:
    """One crucible whose empty mass is not its own. `others` are those of the same fire whose tare it fits, the nearest
    first, as (charge, grams between); empty where none does: then it lost a piece, or was weighed with something in it.
    `swapped_with` is the one with which an exchange makes both masses right, where there is such a one.
    """

    weighed: Weighed
    others: tuple[tuple[str, float], ...]
    swapped_with: str | None


def weighings(state: State, firing: str) -> list[Weighed]:
    """The crucibles of a fire that were weighed empty after it, whose tare before is known."""
    return [one for thing in charges_in(state, firing) if (one := weighing(state, thing)) is not None]


def weighing(state: State, thing: str) -> Weighed | None:
    """What a charge's crucible weighed empty after, against its tare before; None while not both are known."""
    opened = state.slot(thing, "opened").body
    view = charge(state, thing)
    if opened is None or opened.tare_after_g is None or view is None:
        return None
    tare = tare_before(state, thing)
    if tare is None:
        return None
    return Weighed(thing, view.crucible, tare, opened.tare_after_g, WITHIN_G + (opened.stuck_g or 0.0))


def tare_before(state: State, thing: str) -> float | None:
    """The tare of a charge's crucible as last weighed before it was filled, in grams."""
    filled = state.slot(thing, "charged").record
    return tare_at(state, filled.body.crucible, filled.when) if filled is not None else None


def mixups(state: State, firing: str) -> list[MixUp]:
    """Every crucible of a fire that weighs empty what it should not, with those that it could be."""
    found = weighings(state, firing)
    wrong = [one for one in found if not one.fits]
    tares = {thing: tare for thing in charges_in(state, firing) if (tare := tare_before(state, thing)) is not None}
    right = {one.charge for one in found if one.fits}
    told = []
    for one in wrong:
        near = {t: abs(one.after_g - g) for t, g in tares.items() if t != one.charge and t not in right}
        others = sorted(((t, by) for t, by in near.items() if by <= one.allowed_g), key=lambda pair: pair[1])
        told.append(MixUp(one, tuple(others), _swapped_with(one, others, wrong)))
    return told


def _swapped_with(one: Weighed, others: list[tuple[str, float]], wrong: list[Weighed]) -> str | None:
    by_charge = {w.charge: w for w in wrong}
    for thing, _by in others:
        two = by_charge.get(thing)
        if two is not None and abs(two.after_g - one.tare_g) <= two.allowed_g:
            return thing
    return None


def best_order(state: State, firing: str) -> dict[str, str] | None:
    """Which charge each mistaken crucible really held, where one order alone of up to six explains all masses.

    Gives {charge as recorded: charge as its crucible's mass says}; None where nothing or more than one order fits.
    """
    wrong = [one for one in weighings(state, firing) if not one.fits]
    if not 2 <= len(wrong) <= MOST_TOGETHER:
        return None
    tares = {one.charge: one.tare_g for one in wrong}
    fitting = [
        order
        for order in permutations(tares)
        if all(abs(w.after_g - tares[c]) <= w.allowed_g for w, c in zip(wrong, order, strict=True))
    ]
    return dict(zip(tares, fitting[0], strict=True)) if len(fitting) == 1 else None
