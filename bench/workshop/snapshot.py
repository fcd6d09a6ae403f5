"""What a phone is told of a batch, a charge and a firing, so that it can lay what waits in its outbox over it.

Plain JSON. The twin modules of the phone fold waiting records onto these; one file of vectors proves that both sides
come to the same next step. Masses in grams, moments in ms since 1970, temperatures in °C.
"""

from datetime import datetime
from typing import Any

from bench.records.moments import to_ms
from bench.records.state import State
from bench.reference import Library
from bench.reference.cautions import ASK
from bench.workshop.answered import HOUR, answers, failed_to_light
from bench.workshop.asked import listed, still_open
from bench.workshop.facts import facts
from bench.workshop.soaking import soaking
from bench.workshop.things.batches import batch
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import firing

LISTS = {
    "batch": ("before-weighing", "before-loading"),
    "firing": ("before-lighting", "firing", "before-opening", "after-shutdown"),
}
AFTER = "after-shutdown"
Told = dict[str, Any]


def of_batch(
    state: State,
    thing: str,
    library: Library,
    names: dict[int, str],
    within_g: float,
    now: datetime | None = None,
) -> Told | None:
    """A batch. `names` of its lines by number; `within_g` is what a weighing may miss its target by.

    Its checks are those that are asked; `recorded_only` names the items that hold no key. With `now`, what was answered
    in this sitting for another batch stands too.
    """
    view, known = batch(state, thing), facts(state, thing)
    if view is None or known is None:
        return None
    lines = [
        fact
        | {
            "called": names.get(one.plan.line) or fact["name"],
            "heads": [r.id for r in state.slot(thing, "weighed", one.plan.line).heads],
            "fate": one.plan.fate,
            "jar": one.plan.jar,
        }
        for fact, one in zip(known["lines"], view.lines, strict=True)
    ]
    return known | {
        "code": view.code,
        "lines": lines,
        "within_g": within_g,
        "checks": {phase: _answers(state, thing, phase, library, now) for phase in LISTS["batch"]},
        "recorded_only": [one.slug for one in library.checklists if not one.holds],
    }


def of_charge(state: State, thing: str) -> Told | None:
    """A charge, with the crucible that it is in and its dry grams."""
    view, known = charge(state, thing), facts(state, thing)
    if view is None or known is None:
        return None
    return known | {"crucible": view.crucible, "g": view.dry_g}


def of_firing(state: State, thing: str, library: Library, slowest_tau_min: float) -> Told | None:
    """A firing: its soak, the stretches of its schedule, its checks before lighting. Its readings go by themselves.

    `noted` is the newest note of each sort as [value, ms since 1970].
    """
    fire, known = firing(state, thing), facts(state, thing)
    if fire is None or known is None:
        return None
    soak = soaking(state, fire)
    changes = [r.when for r in state.own(thing, "noted") if r.body.what == "burner-change"]
    missed = failed_to_light(state, thing)
    return known | {
        "fuel": fire.fuel,
        "to_c": soak.to_c,
        "hold_min": soak.hold_min,
        "heaviest_g": soak.heaviest_g,
        "stretches": [{"to_c": s.to_c, "hold_min": s.hold_min, "air": s.atmosphere} for s in fire.plan.segments],
        "missed_ms": to_ms(missed) if missed is not None else None,
        "noted": {r.body.what: [r.body.value, to_ms(r.when)] for r in state.by_time(thing, "noted")},
        "changed_ms": to_ms(max(changes)) if changes else None,
        "slowest_tau_min": slowest_tau_min,
        "checks": {phase: _answers(state, thing, phase, library) for phase in LISTS["firing"]},
        **after_looks(state, thing, library),
    }


def after_looks(state: State, thing: str, library: Library) -> Told:
    """The facts of a firing that its closing asks for: how the looks after it stand answered."""
    found = listed(state, library, AFTER, thing)
    hour = answers(state, thing, library).get(HOUR)
    done = hour is not None and hour.body.answer == "done"
    return {"after_done": not still_open(found, "close"), "looked_ms": to_ms(hour.when) if hour and done else None}


def _answers(
    state: State, thing: str, phase: str, library: Library, now: datetime | None = None
) -> dict[str, str | None]:
    found = [one for one in listed(state, library, phase, thing, now) if one.kind == ASK]
    return {one.item.slug: one.answered.body.answer if one.answered is not None else None for one in found}
