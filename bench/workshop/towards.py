"""Towards a colour: one's own swatches by how far they are from it, and the targets whose colour is published."""

from dataclasses import dataclass

from bench.records.state import State
from bench.reference import Library
from bench.science.colour import Lab, de00, difference_uncertainty
from bench.workshop.wall import spots

MOST = 12
JUST_NEAR_DE = 12.0
"""A published colour further off than this is no help on the way (project default)."""


@dataclass(frozen=True)
class Near:
    """One swatch: how far off it is, ΔE00, with its uncertainty where known; and the step that is left in each axis."""

    id: str
    pigment: str
    lab: Lab
    de: float
    uncertainty: float | None
    step: Lab


def nearest(state: State, wanted: Lab, se: Lab | None = None, apart_from: str = "") -> list[Near]:
    """Measured swatches, the nearest first."""
    found = []
    for one in spots(state):
        if one.lab is None or one.id == apart_from:
            continue
        off = de00(one.lab, wanted)
        plus = difference_uncertainty(one.lab, wanted, one.se, se)
        step = (wanted[0] - one.lab[0], wanted[1] - one.lab[1], wanted[2] - one.lab[2])
        found.append(Near(one.id, one.pigment, one.lab, off, plus, step))
    return sorted(found, key=lambda one: one.de)[:MOST]


def targets_near(library: Library, wanted: Lab) -> list[tuple[str, str, float]]:
    """Targets whose colour is published, the nearest first: slug, name, ΔE00."""
    found = []
    for target in library.targets.values():
        if target.lab_l is None or target.lab_a is None or target.lab_b is None:
            continue
        off = de00((target.lab_l, target.lab_a, target.lab_b), wanted)
        if off <= JUST_NEAR_DE:
            found.append((target.slug, target.name, off))
    return sorted(found, key=lambda one: one[2])[:MOST]
