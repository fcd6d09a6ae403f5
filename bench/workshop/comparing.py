"""What differed between two powders: their plans, what was weighed, their fires, and what was done to them after."""

from collections.abc import Iterable
from typing import Any

from bench.workshop.state import State
from bench.workshop.things.batches import batch
from bench.workshop.things.charges import batches_of, charge
from bench.workshop.things.crucibles import earlier_charges
from bench.workshop.things.firings import firing, readings_of
from bench.workshop.things.pigments import pigment

NOT_SAID = "–"


def facts(state: State, thing: str) -> dict[str, str]:
    """How a powder was made, each fact in words; the same names for every powder, so that two can be compared."""
    found: dict[str, str] = {}
    charges = earlier_charges(state, thing)
    for one in dict.fromkeys(b for c in charges for b in batches_of(state, c)):
        found |= _batch_facts(state, one)
    for c in charges:
        found |= _charge_facts(state, c)
    view = pigment(state, thing)
    if view is not None:
        found |= {"fires": str(view.generation), "rinses": str(view.washes)}
        minutes = [r.body.minutes for r in state.own(thing, "ground") if r.body.minutes is not None]
        found |= {"ground after, min": f"{sum(minutes):g}"} if minutes else {}
    return found


def _batch_facts(state: State, thing: str) -> dict[str, str]:
    view = batch(state, thing)
    if view is None:
        return {}
    total = view.weighed_g or sum(line.target_g for line in view.lines) or 1.0
    found = {
        f"{line.plan.formula}, % of the mix": f"{100 * (line.weighed_g or line.target_g) / total:.1f}"
        for line in view.lines
    }
    mixed = state.own(thing, "mixed")
    if mixed:
        found |= {"ground in": mixed[-1].body.medium, "streak": mixed[-1].body.streak}
        found |= {"ground before, min": f"{mixed[-1].body.minutes:g}"} if mixed[-1].body.minutes is not None else {}
    return found | {"cooling planned": view.plan.cooling_mode}


def _charge_facts(state: State, thing: str) -> dict[str, str]:
    view = charge(state, thing)
    if view is None:
        return {}
    found = {"lid": view.charged.lid, "grams in the crucible": f"{view.dry_g:.1f}"}
    for stay in view.stays:
        fire = firing(state, stay.firing)
        if fire is None or stay.went_in is None:
            continue
        peak = max((r.body.c for r in readings_of(state, stay.firing)), default=None)
        found["peak read, °C"] = NOT_SAID if peak is None else f"{peak:.0f}"
        end = stay.came_out or fire.off_at
        if fire.soak_start is not None and end is not None:
            found["soak, min"] = f"{max(0.0, (end - fire.soak_start).total_seconds() / 60):.0f}"
        placed: Any = stay.placed
        if placed is not None:
            found["place"] = f"{placed.clock} o’clock" if placed.clock is not None else f"{placed.row}.{placed.column}"
    return found


def differences(state: State, first: str, second: str) -> list[tuple[str, str, str]]:
    """What differed between two powders: (what, of the first, of the second), alike things left out."""
    one, two = facts(state, first), facts(state, second)
    names: Iterable[str] = dict.fromkeys([*one, *two])
    pairs = ((name, one.get(name, NOT_SAID), two.get(name, NOT_SAID)) for name in names)
    return [pair for pair in pairs if pair[1] != pair[2]]
