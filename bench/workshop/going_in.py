"""The gate of a furnace that burns: what stands against putting a charge in now."""

from bench.reckoning.rules import Finding
from bench.records.state import State
from bench.reference import Library
from bench.translation import _
from bench.workshop.alarms import ramp_limit
from bench.workshop.gates import Findings, declared, reason
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
        return [reason("no-such-thing", _("There is no such charge or firing on this bench."), "fire")]
    order = declared(state, "go-in", thing, "fire", {"firing": firing_id})
    return [*order, *_shock(state, view, fire, library)]


def _shock(state: State, view: Charge, fire: Firing, library: Library) -> list[Finding]:
    vessel, last = crucible(state, view.crucible), fire.last_reading
    if vessel is None or last is None or not fire.burning:
        return []
    c, ware = last.body.c, library.ware.get(vessel.added.ware)
    step = SHOCK_C.get(vessel.added.ware)
    if step is None or c <= ROOM_C + step or ramp_limit(ware, c) is None:
        return []
    say = _("A sudden step of {step:g} °C cracks the crucible (from memory). Warm it first.", step=step)
    return [reason("shock", say, "fire", effect="flag")]
