"""In which order a load comes out, and what stays in: by the planned cooling of each charge and its gate."""

from dataclasses import dataclass
from typing import Final

from bench.reckoning.rules import Finding
from bench.records.state import State
from bench.reference import Library
from bench.workshop.gates import gate_out, stops
from bench.workshop.things.charges import Charge, charge
from bench.workshop.things.coolings import COOLING_WORSE
from bench.workshop.things.firings import Firing

HOT: Final = ("fast", "quench-water")
"""The coolings that begin outside the furnace."""
SURE: Final = ("read", "planned")


@dataclass(frozen=True)
class NextOut:
    """One charge that is still in: how it cools, and what stands against taking it out now."""

    charge: Charge
    sure: bool
    against: list[Finding]


def unloading(state: State, fire: Firing, library: Library) -> list[NextOut]:
    """What is still in a furnace, the first to come out first, what has to stay in last.

    A quench goes before air, and that before what cools in the furnace: the scale of the coolings from its other end.
    A cooling that nobody confirmed hurries nothing. Of equals the order of loading decides.
    """
    views = [view for view in (charge(state, one) for one in fire.charges) if view is not None and _is_in(view, fire)]
    found = [_turn(state, view, library) for view in views]
    return sorted(found, key=lambda one: (bool(one.against), -hurry(one.charge)))


def _is_in(view: Charge, fire: Firing) -> bool:
    return any(s.firing == fire.id and s.went_in and not s.came_out for s in view.residences)


def _turn(state: State, view: Charge, library: Library) -> NextOut:
    return NextOut(view, is_sure(view), stops(gate_out(state, view.id, library)))


def is_sure(view: Charge) -> bool:
    """Whether somebody confirmed how a charge is to cool."""
    return view.cooling_basis in SURE


def hurry(view: Charge) -> int:
    """How much a charge hurries to come out."""
    mode = view.cooling_mode
    return COOLING_WORSE.index(mode if is_sure(view) or mode not in HOT else "unknown")
