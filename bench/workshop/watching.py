"""Who stays with a burning fire: it is never left alone, and what the rules say of the load while it burns."""

from dataclasses import dataclass, replace

from bench.reckoning.rules import Finding, judge, overridden
from bench.records.record import Record
from bench.records.state import State
from bench.reference import Library
from bench.translation import _
from bench.workshop import conditions
from bench.workshop.gates import decisions, one_a_rule, reason
from bench.workshop.parts import charge_parts
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import Firing, firing

ALONE, BACK, WITH = conditions.ALONE, "back", "with "
"""How a note on the watch begins: left alone, back again, or handed to somebody by name."""
TOLD_AS_ALARMS = ("flame-lost", "co-reading", "co-rising", "unattended")


@dataclass(frozen=True)
class Watch:
    """Who is with a fire, as the newest note on it says: a name where it was handed over, or nobody."""

    alone: bool
    name: str | None
    record: Record | None


def watch_of(state: State, thing: str) -> Watch:
    """Who is with a fire now. Nothing noted: the one who lit it."""
    notes = [r for r in state.by_time(thing, "noted") if r.body.what == "watch"]
    last = notes[-1] if notes else None
    value = str(last.body.value) if last is not None else ""
    return Watch(value == ALONE, value.removeprefix(WITH) if value.startswith(WITH) else None, last)


def gate_leave(state: State, thing: str, library: Library) -> list[Finding]:
    """What stands against leaving a fire with nobody beside it; nothing once it is out."""
    fire = firing(state, thing)
    if fire is None:
        return [reason("no-such-thing", _("There is no such firing on this bench."), "fire")]
    told = {**conditions.of_firing(state, thing, library), "leave": True}
    found = judge("fire", [], told, library)
    return [replace(one, because=()) for one in found if one.rule == "unattended" and one.sure]


def gate_fire(state: State, thing: str, library: Library) -> list[Finding]:
    """What the rules say of a burning fire and of every charge in it, but for what its notes raise as alarms."""
    fire = firing(state, thing)
    if fire is None or not fire.burning:
        return []
    here = conditions.of_firing(state, thing, library)
    found: list[Finding] = []
    for one in _in_heat(state, fire):
        terms = conditions.of_charge(state, one, library) | conditions.of_bench(state) | here
        for said in judge("fire", charge_parts(state, one), terms, library):
            if said.rule not in TOLD_AS_ALARMS:
                found.append(said)
    return one_a_rule(list(overridden(found, decisions(state, thing)).still))


def _in_heat(state: State, fire: Firing) -> list[str]:
    """The charges of a firing that have not come out."""
    views = [(one, charge(state, one)) for one in fire.charges]
    stays = [(one, next((s for s in v.residences if s.firing == fire.id), None)) for one, v in views if v is not None]
    return [one for one, stay in stays if stay is not None and stay.came_out is None]
