"""Planning a firing: furnace, burner, and the stretches of its schedule, filled in from what it is planned for."""

from dataclasses import asdict, replace
from typing import Any

from flask import Blueprint, Response, request

from bench.reckoning.rules import Finding
from bench.records.kinds import BatchPlanned, Segment
from bench.records.projected import Step, imagined
from bench.screens.furnace.curves import planned_points
from bench.screens.furnace.place import after_placing
from bench.screens.furnace.placing import Spot, read_place, waiting, wheres
from bench.screens.kit.declared import read_named
from bench.screens.kit.issuing import code_entries
from bench.screens.kit.stretches import AIR_CHOICES, read_stretch
from bench.screens.kit.thing_label import thing_label
from bench.steps.plan_firing import STEP as PLAN
from bench.web.current import current_bench
from bench.web.drawing import curve
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, page
from bench.web.recording import Entry, record_all
from bench.web.words import _
from bench.workshop.gates import gate_place, stops
from bench.workshop.light_gate import OF_PLACE, gate_light
from bench.workshop.schedules import check_schedule
from bench.workshop.series_results import drawn_for
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import firing

blueprint = Blueprint("firing_new", __name__)

SHOWN, MOST = 2, 10


@blueprint.get("/firings/new")
def ask() -> Response:
    """Plan a firing; its heat begins as that of the charge, the batch or the firing that it is planned for."""
    state = current_bench().state
    start: dict[str, Any] = {"charge": request.args.get("charge", "")[:26] or _only_waiting()}
    furnaces = state.open_things("furnace")
    start |= {"furnace": furnaces[-1]} if furnaces else {}
    like = firing(state, request.args.get("like", ""))
    if like is not None:
        start |= {"furnace": like.plan.furnace, "burner": like.plan.burner, "name": like.plan.name}
    for n, one in enumerate((like.plan.segments if like is not None else _wanted(start["charge"]))[:MOST]):
        start |= {f"to_c.{n}": f"{one.to_c:g}", f"hold_min.{n}": f"{one.hold_min:g}", f"air.{n}": one.atmosphere}
        start |= {f"rate.{n}": f"{one.rate_c_per_h:g}"} if one.rate_c_per_h else {}
    return _ask(blank(**start))


def _only_waiting() -> str:
    """The one crucible that waits for a place; nothing where none does, or several do."""
    found = waiting(current_bench().state)
    return found[0].id if len(found) == 1 else ""


def _wanted(thing: str) -> tuple[Segment, ...]:
    """The schedule that the batches of a charge were planned with, or else of all charges that wait: the hottest.

    A segment that says nothing of its air has that of its plan.
    """
    state = current_bench().state
    asked = [thing] if charge(state, thing) is not None else state.open_things("charge")
    views = [view for one in asked if (view := charge(state, one)) is not None]
    batches = [b for view in views if view.state in ("damp", "dry", "placed") for b in view.batches]
    plans = [state.slot(b, "batch.planned").body for b in batches]
    schedules = [_with_air(plan) for plan in plans if plan is not None and plan.schedule]
    return max(schedules, key=lambda each: max(s.to_c for s in each), default=())


def _with_air(plan: BatchPlanned) -> tuple[Segment, ...]:
    return tuple(replace(s, atmosphere=plan.atmosphere) if s.atmosphere == "unknown" else s for s in plan.schedule)


def _ask(form: Form) -> Response:
    state = current_bench().state
    named = {
        sort: [(t, state.slot(t, f"{sort}.described").body.name) for t in state.open_things(sort)]
        for sort in ("furnace", "burner")
    }
    filled = [n for n in range(MOST) if any(form.typed.get(f"{name}.{n}") for name in ("to_c", "rate", "hold_min"))]
    filled += [n for n in range(MOST) if f"air.{n}" in form.errors]
    shown = max([SHOWN, *(n + 1 for n in filled)])
    load = charge(state, form.typed.get("charge", ""))
    return page(
        "firing/new.html",
        form=form,
        furnaces=named["furnace"],
        burners=named["burner"],
        shown=range(shown),
        more=range(shown, MOST),
        airs=AIR_CHOICES,
        found=_found(form),
        held=_held_there(form),
        load=thing_label(load.id) if load is not None else None,
        first_place=_first_place(form),
        picture=_picture(form),
    )


def _segments(form: Form) -> list[dict[str, Any]]:
    return [s for s in (read_stretch(form, n) for n in range(MOST)) if s]


def _typed(form: Form) -> tuple[Segment, ...]:
    """The stretches as they stand in the form, read without complaint."""
    quiet = Form(dict(form.typed), now_ms=form.now_ms, zone_min=form.zone_min)
    return tuple(Segment(**one) for one in _segments(quiet))


def _found(form: Form) -> list[Any]:
    """What is to be minded of the schedule as it stands in the form."""
    state = current_bench().state
    segments = _typed(form)
    if not segments:
        return []
    furnace = state.slot(form.typed.get("furnace", ""), "furnace.described").body
    one = form.typed.get("charge", "")
    load = [one] if charge(state, one) is not None else []
    return check_schedule(segments, furnace, load, state, current_bench().library)


def _held_there(form: Form) -> list[Finding]:
    """What will stop the lighting of this crucible in this furnace, and no check before the fire settles."""
    here = current_bench()
    thing, furnace = form.typed.get("charge", ""), form.typed.get("furnace", "")
    segments = [asdict(one) for one in _typed(form)]
    known = charge(here.state, thing) is not None and here.state.slot(furnace, "furnace.described").body is not None
    if not known or not segments or here.state.record(form.record_id) is not None:
        return []
    fire = form.record_id
    planned = Step("firing.planned", fire, {"furnace": furnace, "segments": segments}, id=fire)
    steps = [planned, Step("placed", thing, {"firing": fire, "tier": 1})]
    found = gate_light(imagined(here.state, steps, here.now_ms()), fire, here.library)
    return [one for one in stops(found) if one.rule in OF_PLACE]


def _picture(form: Form) -> Any:
    """The schedule as a curve from now on; None while there is none."""
    segments = _typed(form)
    if not segments:
        return None
    points = planned_points(segments, float(current_bench().now_ms()))
    return curve([], points, look="phone", zone_min=current_bench().zone_min())


@blueprint.post("/firings/new")
def keep() -> Response:
    """Keep the plan of a firing, with a code; or only look it over."""
    form = read_form()
    state = current_bench().state
    told = read_named(form, PLAN, "furnace", "burner", "name")
    furnace = told["furnace"]
    segments = _segments(form)
    if not segments and not any(field.startswith("to_c") for field in form.errors):
        form.refuse(_("Type how hot the firing goes."), "to_c.0")
    ceiling = state.slot(furnace, "furnace.described").body.ceiling_c if furnace else None
    hottest = max(range(len(segments)), key=lambda n: segments[n]["to_c"], default=0)
    if segments and ceiling is not None and segments[hottest]["to_c"] > ceiling:
        form.refuse(_("This furnace goes to {c:g} °C.", c=ceiling), f"to_c.{hottest}")
    if not form.ok or form.typed.get("look"):
        return _ask(form)
    data = told | {"segments": segments}
    placed = _placed(form, data)
    entries = [Entry("firing.planned", None, data), *code_entries(form), *placed]
    if record_all(entries, form=form, say=_("A firing is planned")):
        one = charge(state, form.typed.get("charge", ""))
        if one is not None and placed:
            return after_placing(one.id, form.record_id)
        if one is not None:
            return go("place.ask", thing=one.id, firing=form.record_id)
        return go("firing.show", thing=form.record_id)
    return _ask(form)


def _first_place(form: Form) -> Spot | None:
    """A place in the furnace of the form for the crucible that the firing is planned for: the one that its series drew,
    else the first; none without a crucible."""
    state, thing = current_bench().state, form.typed.get("charge", "")
    furnace = state.slot(form.typed.get("furnace", ""), "furnace.described").body
    if charge(state, thing) is None or furnace is None:
        return None
    drawn = drawn_for(state, thing)
    found = wheres(furnace)[drawn.n - 1 if drawn is not None else 0 :]
    return Spot(found[0]) if found else None


def _placed(form: Form, plan: dict[str, Any]) -> list[Entry]:
    """The crucible at the place that the key named; nothing where something stands against it: the map says what."""
    state, thing = current_bench().state, form.typed.get("charge", "")
    furnace = state.slot(plan["furnace"], "furnace.described").body
    spot = read_place(form.typed.get("place", ""), [Spot(where) for where in wheres(furnace)])
    if spot is None or charge(state, thing) is None:
        return []
    if state.record(form.record_id) is None:
        planned = Step("firing.planned", form.record_id, plan, id=form.record_id)
        state = imagined(state, [planned], current_bench().now_ms())
    if gate_place(state, thing, form.record_id, spot.where):
        return []
    tier, row, column, clock = spot.where
    where = {"firing": form.record_id, "tier": tier, "row": row, "column": column, "clock": clock}
    return [Entry("placed", thing, where)]
