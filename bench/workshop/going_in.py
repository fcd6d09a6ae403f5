"""The gate of a furnace that burns: what stands against putting a charge in now."""

from bench.reckoning.rules import Finding
from bench.reference import Library
from bench.workshop.alarms import ramp_limit
from bench.workshop.gates import DAMP_IN_HEAT, Findings, reason
from bench.workshop.state import State
from bench.workshop.things.charges import Charge, charge
from bench.workshop.things.crucibles import crucible
from bench.workshop.things.firings import Firing, firing

SHOCK_C = {"alumina-99": 150.0, "glazed-porcelain": 200.0, "unglazed-porcelain": 200.0}
"""Sudden steps of temperature that crack a ware (common practice)."""
ROOM_C = 20.0


def gate_in(state: State, thing: str, firing_id: str, library: Library) -> Findings:
    """What stands against it: ended, in a furnace already, damp, not placed, over its rating, too sudden a step."""
    view, fire = charge(state, thing), firing(state, firing_id)
    if view is None or fire is None:
        return [reason("no-such-thing", "There is no such charge or firing on this bench.", "fire")]
    return [*_of_charge(view, fire), *_of_vessel(state, view, fire, library)]


def _of_charge(view: Charge, fire: Firing) -> Findings:
    found = []
    if view.state in ("opened", "lost"):
        found.append(reason("charge-ended", "This charge is no longer in its crucible.", "fire"))
    elif view.state == "in-heat":
        found.append(reason("in-heat", "It is recorded as in a furnace already.", "fire"))
    elif not any(stay.firing == fire.id for stay in view.stays):
        found.append(reason("not-placed", "It is not placed in this firing. Place it first.", "fire"))
    return ([reason("damp", DAMP_IN_HEAT, "fire")] if view.damp else []) + found


def _of_vessel(state: State, view: Charge, fire: Firing, library: Library) -> list[Finding]:
    vessel, last = crucible(state, view.crucible), fire.last_reading
    if vessel is None or last is None or not fire.burning:
        return []
    c, ware, found = last.body.c, library.ware.get(vessel.added.ware), []
    if vessel.rated_c is not None and c > vessel.rated_c:
        say = f"It is rated to {vessel.rated_c:g} °C; the furnace read {c:.0f}."
        found.append(reason("over-rating", say, "fire"))
    step = SHOCK_C.get(vessel.added.ware)
    if step is not None and c > ROOM_C + step and ramp_limit(ware, c) is not None:
        say = f"A sudden step of {step:g} °C cracks it (from memory): warm it first."
        found.append(reason("shock", say, "fire", effect="flag"))
    return found
