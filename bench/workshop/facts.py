"""The facts of a thing by the names that the steps are declared with (`bench/steps/sorts.py`), from the records.

`None` says that there is nothing of the kind, as of a powder that was never weighed dry; what a table leaves out is not
known. A test holds these names against the declared ones.
"""

from collections.abc import Callable
from datetime import datetime
from typing import Any

from bench.records.kinds import Source
from bench.records.moments import to_ms
from bench.records.record import Record
from bench.records.state import State
from bench.steps import HOUSE, STEPS
from bench.steps.conditions import UNKNOWN, Look
from bench.steps.folding import StepRecord, apply
from bench.steps.load import REFIRED_SHARE
from bench.steps.named import known, most
from bench.workshop.things.batches import AIR_SHARE, batch, dish_g, keeps_dry, masses_since, most_share, wets
from bench.workshop.things.charges import Charge, batches_of, charge, powder_is_damp, wet_with
from bench.workshop.things.crucibles import crucible, earlier_charges
from bench.workshop.things.firings import firing
from bench.workshop.things.pigments import is_used_up, mass_g, pigment
from bench.workshop.things.residences import surface_reads
from bench.workshop.things.swatches import swatch
from bench.workshop.things.waste import waste

Facts = dict[str, Any]


def facts(state: State, thing: str) -> Facts | None:
    """The facts of a thing; None where there is no such thing, or of a sort on which no step is declared."""
    return state.memoize(("facts", thing), lambda: _facts(state, thing))


def _facts(state: State, thing: str) -> Facts | None:
    sort = state.sort_of(thing)
    found = OF[sort](state, thing) if sort in OF else None
    if found is None:
        return None
    return {"sort": sort, "id": thing, "made_ms": _made_ms(state, thing), **found, **_brought(state, thing, str(sort))}


def _made_ms(state: State, thing: str) -> float | None:
    """When a thing came to be: by the record that made it, as it stands corrected."""
    first = state.record(thing)
    stands = state.slot(first.subject, first.kind).record if first is not None else None
    return None if first is None else to_ms((stands or first).when)


def _brought(state: State, thing: str, sort: str) -> Facts:
    """The facts that single steps bring, from their own records alone, in the order in which things happened."""
    steps = [step for step in STEPS if sort in step.on and step.facts and step.record is not None]
    told: dict[str, Facts] = {thing: {"sort": sort, "id": thing}}
    told[thing] |= {name: None for step in steps for name in step.facts}
    for step in steps:
        for record in state.by_time(thing, str(step.record)):
            apply(HOUSE, step, told, StepRecord(thing, record.data, to_ms(record.when), record.id))
    return {name: told[thing][name] for step in steps for name in step.facts}


def look_on(state: State, thing: str | None, fields: Facts | None = None) -> Look:
    """A function from a name of a declaration to its value, for a step on this thing with these fields of its form."""
    return HOUSE.look(known_things(state, thing, fields), thing, fields or {})


def known_things(state: State, thing: str | None, fields: Facts | None = None) -> dict[str, Facts]:
    """The facts of a thing and of the things that the fields of a form name, by their ids."""
    named = [one for one in (thing, *(fields or {}).values()) if isinstance(one, str)]
    return {one: told for one in named if (told := facts(state, one)) is not None}


def _batch(state: State, thing: str) -> Facts | None:
    view = batch(state, thing)
    if view is None:
        return None
    wetted = [r for r in state.by_time(thing, "mixed") if wets(r)]
    lines = [
        {
            "line": one.plan.line,
            "name": one.plan.name or one.plan.formula,
            "planned_g": one.plan.target_g,
            "target_g": one.target_g,
            "weighed_g": one.weighed_g,
        }
        for one in view.lines
    ]
    return {
        "name": view.name,
        "ended": view.state in ("closed", "failed"),
        "lines": lines,
        "mixed": bool(state.own(thing, "mixed")),
        "mixed_ms": min((to_ms(r.when) for r in state.own(thing, "mixed")), default=None),
        **_masses(dried := masses_since(state, thing, wetted[-1] if wetted else None)),
        "tare_g": dish_g(dried),
        "keeps_dry": keeps_dry(state, thing),
        "most_share": most_share(view.plan),
        "charges": len(view.charges),
        "gone_g": view.loaded_g + view.lost_g,
        "liquid": view.plan.liquid,
        "medium": wetted[-1].body.medium if wetted else None,
        "salty": any(line.plan.fate == "washed-out" for line in view.lines),
    }


def _charge(state: State, thing: str) -> Facts | None:
    view = charge(state, thing)
    if view is None:
        return None
    vessel = crucible(state, view.crucible)
    before, last = [None, None, *surface_reads(state, thing, view.residences)][-2:]
    return {
        "of": names_of(state, view.batches),
        "code": view.crucible_code,
        "ended": view.state in ("opened", "lost"),
        "in_heat": view.state == "in-heat",
        "source_damp": view.damp,
        "salty": is_salty(state, (thing,)),
        **_masses(masses_since(state, thing, None)),
        "g": view.dry_g,
        "wet_g": view.charged.wet_g,
        "gross_g": view.charged.gross_g,
        "tare_g": vessel.tare_g if vessel is not None and not view.charged.packing else None,
        "most_share": _charge_share(state, view),
        "firing": view.stay.firing if view.stay is not None else None,
        "firings": [stay.firing for stay in view.residences],
        "rated_c": vessel.rated_c if vessel is not None else None,
        "was_hot": view.was_hot,
        "out": view.state in ("out-hot", "cool"),
        "in_ms": _ms(view.stay.went_in if view.stay is not None else None),
        "out_ms": _ms(view.stay.came_out if view.stay is not None else None),
        "surface_c": view.surface_c,
        "read_ms": _ms(last.when if last is not None else None),
        "before_c": float(before.body.surface_c) if before is not None else None,
        "before_ms": _ms(before.when if before is not None else None),
    }


def _masses(weighed: list[Record]) -> Facts:
    return {
        "masses_g": [one.body.mass_g for one in weighed],
        "masses_ms": [to_ms(one.when) for one in weighed],
    }


def _charge_share(state: State, view: Charge) -> float | None:
    """The most that a gram of what went in can leave in the fire: each source by its own share."""
    shares = [(one.g, _source_share(state, one)) for one in view.charged.sources]
    return sum(g * share for g, share in shares) / view.dry_g if view.dry_g > 0 else None


def _source_share(state: State, source: Source) -> float:
    if source.batch is None:
        return REFIRED_SHARE if source.pigment is not None else 1.0
    plan = state.slot(source.batch, "batch.planned").body
    return AIR_SHARE if plan is None else most_share(plan)


def _out_most_g(state: State, charges: tuple[str, ...]) -> float | None:
    """The most that can have come out of some crucibles."""
    views = [charge(state, one) for one in charges]
    found = [most(view.dry_g, _charge_share(state, view)) if view is not None else UNKNOWN for view in views]
    return sum(found) if found and all(known(one) for one in found) else None


def _ms(moment: datetime | None) -> float | None:
    return to_ms(moment) if moment is not None else None


def _pigment(state: State, thing: str) -> Facts | None:
    view = pigment(state, thing)
    if view is None:
        return None
    batches = tuple(dict.fromkeys(b for one in earlier_charges(state, thing) for b in batches_of(state, one)))
    return {
        "of": names_of(state, batches),
        "code": view.code,
        "state": view.state,
        "rinses": view.washes,
        "salty": is_salty(state, view.charges),
        "wet": powder_is_damp(state, thing),
        "medium": wet_with(state, thing),
        "net_g": view.dry_g,
        "mass_g": mass_g(state, thing),
        "most_g": _out_most_g(state, view.charges),
        "gone_g": view.used_g + view.lost_g,
        "taken_g": view.taken_g,
        "swatches": len(view.swatches),
        "used_up": is_used_up(view),
    }


def _firing(state: State, thing: str) -> Facts | None:
    view = firing(state, thing)
    if view is None:
        return None
    return {
        "name": view.name,
        "lit_ms": _ms(view.lit_at),
        "off_ms": _ms(view.off_at),
        "closed": view.closed,
        "checked": view.state == "checked",
        "loaded": bool(view.charges),
        "soaking": view.soak_start is not None,
        "fuel": view.fuel,
        "last_c": view.last_reading.body.c if view.last_reading is not None else None,
    }


def _swatch(state: State, thing: str) -> Facts | None:
    view = swatch(state, thing)
    if view is None:
        return None
    return {"pigment": view.made.pigment, "binder": view.made.binder, "judged": view.judged is not None}


def _jar(state: State, thing: str) -> Facts | None:
    opened = state.slot(thing, "jar.opened").body
    return None if opened is None else {"name": opened.reagent, "formula": opened.formula}


def _crucible(state: State, thing: str) -> Facts | None:
    view = crucible(state, thing)
    return (
        None
        if view is None
        else {
            "code": view.code,
            "condition": view.condition,
            "standing": view.standing,
            "tare_g": view.tare_g,
        }
    )


def _waste(state: State, thing: str) -> Facts | None:
    view = waste(state, thing)
    return (
        None
        if view is None
        else {
            "contents": view.added[0].contents,
            "volume_ml": view.volume_ml,
            "capacity_ml": view.capacity_ml,
        }
    )


OF: dict[str | None, Callable[[State, str], Facts | None]] = {
    "batch": _batch,
    "charge": _charge,
    "pigment": _pigment,
    "firing": _firing,
    "swatch": _swatch,
    "jar": _jar,
    "crucible": _crucible,
    "waste": _waste,
}


def names_of(state: State, batches: tuple[str, ...]) -> str:
    """Some batches by their names."""
    plans = [state.slot(one, "batch.planned").body for one in batches]
    return " + ".join(plan.name for plan in plans if plan is not None)


def is_salty(state: State, charges: tuple[str, ...]) -> bool:
    """Whether a flux of any batch that went into these is to be washed out, or a salt was put into the crucible."""
    for thing in charges:
        found = charge(state, thing)
        for batch_id in found.batches if found else ():
            plan = state.slot(batch_id, "batch.planned").body
            if plan is not None and any(line.fate == "washed-out" for line in plan.lines):
                return True
        if found is not None and any(s.jar is not None for s in found.charged.sources):
            return True
    return False
