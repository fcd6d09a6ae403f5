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
from bench.workshop.answered import failed_to_light
from bench.workshop.asked import listed
from bench.workshop.soaking import soaking
from bench.workshop.things.batches import batch, masses_since, wets
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import firing

LISTS = {"batch": ("before-weighing", "before-loading"), "firing": ("before-lighting",)}
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
    view = batch(state, thing)
    if view is None:
        return None
    wetted = [r for r in state.by_time(thing, "mixed") if wets(r)]
    lines = [
        {
            "line": one.plan.line,
            "name": names.get(one.plan.line) or one.plan.name or one.plan.formula,
            "planned_g": one.plan.target_g,
            "target_g": one.target_g,
            "weighed_g": one.weighed_g,
            "heads": [r.id for r in state.slot(thing, "weighed", one.plan.line).heads],
            "fate": one.plan.fate,
            "jar": one.plan.jar,
        }
        for one in view.lines
    ]
    return {
        "sort": "batch",
        "id": thing,
        "name": view.name,
        "ended": view.state in ("closed", "failed"),
        "lines": lines,
        "within_g": within_g,
        "mixed": bool(state.own(thing, "mixed")),
        "masses_g": masses_since(state, thing, wetted[-1] if wetted else None),
        "charges": len(view.charges),
        "gone_g": view.loaded_g + view.lost_g,
        "checks": {phase: _answers(state, thing, phase, library, now) for phase in LISTS["batch"]},
        "recorded_only": [one.slug for one in library.checklists if not one.holds],
    }


def of_charge(state: State, thing: str) -> Told | None:
    """A charge. `source_damp` is whether it is damp while no two masses say otherwise, `firing` where it stands.

    `of` names the batches that it holds, `in_heat` says whether it is in that furnace while it is hot.
    """
    view = charge(state, thing)
    if view is None:
        return None
    stay = view.stay
    return {
        "sort": "charge",
        "id": thing,
        "code": view.crucible_code,
        "crucible": view.crucible,
        "of": _names_of(state, view.batches),
        "g": view.dry_g,
        "masses_g": masses_since(state, thing, None),
        "source_damp": view.damp,
        "firing": stay.firing if stay is not None else None,
        "was_hot": view.was_hot,
        "in_heat": view.state == "in-heat",
        "out": view.state in ("out-hot", "cool"),
        "surface_c": view.surface_c,
        "ended": view.state in ("opened", "lost"),
    }


def _names_of(state: State, batches: tuple[str, ...]) -> str:
    plans = [state.slot(one, "batch.planned").body for one in batches]
    return " + ".join(plan.name for plan in plans if plan is not None)


def of_firing(state: State, thing: str, library: Library, slowest_tau_min: float) -> Told | None:
    """A firing: its soak, the stretches of its schedule, its checks before lighting. Its readings go by themselves.

    `noted` is the newest note of each sort as [value, ms since 1970].
    """
    fire = firing(state, thing)
    if fire is None:
        return None
    soak = soaking(state, fire)
    changes = [r.when for r in state.own(thing, "noted") if r.body.what == "burner-change"]
    missed = failed_to_light(state, thing)
    return {
        "sort": "firing",
        "id": thing,
        "name": fire.name,
        "fuel": fire.furnace.fuel if fire.furnace else "any",
        "lit_ms": to_ms(fire.lit_at) if fire.lit_at is not None else None,
        "off_ms": to_ms(fire.off_at) if fire.off_at is not None else None,
        "closed": fire.closed,
        "to_c": soak.to_c,
        "hold_min": soak.hold_min,
        "heaviest_g": soak.heaviest_g,
        "stretches": [{"to_c": s.to_c, "hold_min": s.hold_min, "air": s.atmosphere} for s in fire.plan.segments],
        "missed_ms": to_ms(missed) if missed is not None else None,
        "noted": {r.body.what: [r.body.value, to_ms(r.when)] for r in state.by_time(thing, "noted")},
        "changed_ms": to_ms(max(changes)) if changes else None,
        "slowest_tau_min": slowest_tau_min,
        "checks": {phase: _answers(state, thing, phase, library) for phase in LISTS["firing"]},
    }


def _answers(
    state: State, thing: str, phase: str, library: Library, now: datetime | None = None
) -> dict[str, str | None]:
    found = [one for one in listed(state, library, phase, thing, now) if one.kind == ASK]
    return {one.item.slug: one.answered.body.answer if one.answered is not None else None for one in found}
