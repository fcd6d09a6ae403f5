"""All swatches in an order that the eye can follow: by hue, by value, or the newest first; or of an element alone."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, degrees, hypot

from bench.records.state import State
from bench.science.colour import Lab
from bench.workshop.things.crucibles import charge_elements, earlier_charges
from bench.workshop.things.swatches import colour_of, photos_of

ORDERS = ("hue", "value", "date")
GREY_CHROMA = 6.0
"""Under this chroma a colour has no hue to be sorted by (project default)."""


@dataclass(frozen=True)
class Spot:
    """One swatch on the wall: its measured colour, else its newest photo."""

    id: str
    pigment: str
    lab: Lab | None
    photo: str | None
    tint: bool
    se: Lab | None = None


def spots(state: State, element: str = "") -> list[Spot]:
    """Every swatch, oldest first; with `element` those whose powder was made with it."""
    found = []
    for thing in state.things("swatch"):
        made = state.slot(thing, "swatch.made").body
        if made is None or (element and element not in elements_of(state, made.pigment)):
            continue
        colour = colour_of([r.body for r in state.own(thing, "swatch.measured")])
        lab, se = (colour.lab, colour.se) if colour is not None else (None, None)
        photos = photos_of(state, thing)
        photo = photos[-1] if photos else None
        found.append(Spot(thing, made.pigment, lab, photo, bool(made.white_per_pigment), se))
    return found


def elements_of(state: State, pigment: str) -> frozenset[str]:
    """The elements of everything that a powder was made of."""
    charges = earlier_charges(state, pigment)
    return frozenset().union(*(charge_elements(state, charge) for charge in charges))


def ordered(found: Sequence[Spot], by: str) -> list[Spot]:
    """By hue from red round to purple, greys after them; by value from dark to light; by date, the newest first.

    What is not measured comes after what is, the newest first.
    """
    newest = list(found)[::-1]
    if by not in ("hue", "value"):
        return newest
    known = [one for one in newest if one.lab is not None]
    return sorted(known, key=_hue if by == "hue" else _value) + [one for one in newest if one.lab is None]


def _value(one: Spot) -> float:
    return one.lab[0] if one.lab is not None else 0.0


def _hue(one: Spot) -> tuple[bool, float, float]:
    lightness, a, b = one.lab or (0.0, 0.0, 0.0)
    grey = hypot(a, b) < GREY_CHROMA
    return grey, lightness if grey else degrees(atan2(b, a)) % 360, lightness
