"""Placing a charge: which firing, and where on the furnace's map."""

from typing import Any

from flask import Blueprint, Response, abort, request

from bench.screens.furnace.placing import Spot, first_free, in_words, picture, read_place, spots, tiers, waiting
from bench.screens.kit.cautioning import cautions
from bench.screens.kit.checking import checks, unanswered
from bench.screens.kit.found import charge_or_404
from bench.screens.kit.gating import may_record
from bench.screens.kit.thing_label import thing_label
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import code_text, go, page
from bench.web.recording import Entry, record_all
from bench.web.words import _
from bench.workshop.gates import gate_place, last_fire, stops
from bench.workshop.parts import charge_parts
from bench.workshop.series_results import drawn_for
from bench.workshop.things.charges import Charge
from bench.workshop.things.firings import Firing, firing

blueprint = Blueprint("place", __name__)

BEFORE = "before-lighting"


def open_firings() -> list[Firing]:
    """The firings that a charge can still be placed in, the newest first."""
    state = current_bench().state
    found = [firing(state, thing) for thing in state.open_things("firing")]
    return [one for one in reversed(found) if one is not None and not one.closed and one.off is None]


@blueprint.get("/charge/<thing>/place")
def ask(thing: str) -> Response:
    """Choose a firing, then a place on its map."""
    view = charge_or_404(thing)
    named = request.args.get("firing")
    choices = open_firings()
    if named is None and not choices:
        return go("firing_new.ask", charge=thing)
    if named is None and len(choices) != 1:
        names = [thing_label(one.id) for one in choices]
        return page("charge/firings.html", view=view, choices=list(zip(choices, names, strict=True)))
    fire = choices[0] if named is None else firing(current_bench().state, named)
    if fire is None:
        abort(404)
    tapped = read_place(request.args.get("place", ""), spots(current_bench().state, fire))
    if tapped is not None:
        return _show_map(view, fire, blank(place=tapped.value))
    here, free = _placed_at(view, fire), _drawn_place(view, fire) or first_free(current_bench().state, fire)
    return _show_map(view, fire, blank(place=here) if here else blank().offer(place=free))


def _placed_at(view: Charge, fire: Firing) -> str:
    found = spots(current_bench().state, fire)
    return next((spot.value for spot in found if spot.charge == view.id), "")


def _drawn_place(view: Charge, fire: Firing) -> str:
    """The place that its batch drew among those of its series, counted over the places that nobody else has taken."""
    drawn = drawn_for(current_bench().state, view.id)
    if drawn is None:
        return ""
    open_to_it = [
        spot for spot in spots(current_bench().state, fire) if spot.charge is None or spot.charge in drawn.together
    ]
    spot = open_to_it[drawn.n - 1] if drawn.n <= len(open_to_it) else None
    return spot.value if spot is not None and spot.charge is None else ""


@blueprint.post("/charge/<thing>/place")
def keep(thing: str) -> Response:
    """Record the place. Another place in the same firing corrects the first."""
    view = charge_or_404(thing)
    form = read_form()
    fire = firing(current_bench().state, form.typed.get("firing", ""))
    if fire is None:
        abort(404)
    found = spots(current_bench().state, fire)
    spot = read_place(form.typed.get("place", ""), found)
    if spot is None:
        form.refuse(_("Choose one of the places."), "place")
    if not form.ok or spot is None:
        return _show_map(view, fire, form)
    if not may_record(form, gate_place(current_bench().state, thing, fire.id, spot.where)):
        form.refuse(_("Not recorded: see the reasons below."))
        return _show_map(view, fire, form)
    tier, row, column, clock = spot.where
    data = {"firing": fire.id, "tier": tier, "row": row, "column": column, "clock": clock}
    before = current_bench().state.slot(thing, "placed", fire.id).heads
    corrects = [r.id for r in before if r.id != form.record_id] or _corrected_by(form.record_id)
    said = _("{code} at {place}", code=code_text(view.crucible_code), place=spot.name)
    entry = Entry("placed", thing, data, corrects=corrects, assumed=list(data)[1:] if "place" in form.unread() else [])
    if record_all([entry], form=form, say=said):
        return after_placing(thing, fire.id)
    return _show_map(view, fire, form)


def after_placing(thing: str, fire: str) -> Response:
    """Back to the crucible while another filled one has no place; else on to the checks before lighting."""
    here = current_bench()
    if waiting(here.state):
        return go("charge.show", thing=thing)
    placed = firing(here.state, fire)
    lit = placed is None or placed.lit_at is not None
    if lit or not unanswered(checks(here.state, here.library, BEFORE, fire)):
        return go("firing.show", thing=fire)
    return go("firing_checks.check_list", thing=fire, phase=BEFORE, one=1)


def _corrected_by(record_id: str) -> list[str]:
    """What this very submit corrected when it came the first time."""
    known = current_bench().state.record(record_id)
    return list(known.corrects) if known is not None else []


def _show_map(view: Charge, fire: Firing, form: Form) -> Response:
    state = current_bench().state
    found = spots(state, fire)
    chosen = read_place(form.typed.get("place", ""), found)
    findings = gate_place(state, view.id, fire.id, chosen.where) if chosen is not None else _at_all(view, fire, found)
    tier = _tier(found, chosen)
    here = f"/charge/{view.id}/place?firing={fire.id}&tier={tier}" + ("&late=1" if request.args.get("late") else "")
    return page(
        "charge/place.html",
        form=form,
        view=view,
        fire=fire,
        last_fire=last_fire(state, fire),
        fire_name=thing_label(fire.id),
        name=thing_label(view.id).name,
        drawn=drawn_for(state, view.id),
        findings=findings,
        blocked=bool(stops(_at_all(view, fire, found)))
        and not (request.args.get("late") or form.typed.get("happened")),
        picture=picture(found, fire, tier),
        ways=[(spot.mark, f"{here}&place={spot.value}#ask") for spot in found if spot.charge is None],
        words=in_words(found, tier),
        tier=tier,
        tiers=tiers(found),
        here=[spot for spot in found if spot.tier == tier],
        others=[(one, thing_label(one.id)) for one in open_firings() if one.id != fire.id],
        foot=cautions("load", charge_parts(state, view.id)),
    )


def _at_all(view: Charge, fire: Firing, found: list[Spot]) -> list[Any]:
    """What stands against placing it anywhere in this firing."""
    free = next((spot for spot in found if spot.charge is None), None)
    where = free.where if free is not None else next(iter(found)).where
    return gate_place(current_bench().state, view.id, fire.id, where)


def _tier(found: list[Spot], chosen: Spot | None) -> int:
    asked = request.args.get("tier", "")
    known = tiers(found)
    if asked.isascii() and asked.isdecimal() and len(asked) < 4 and int(asked) in known:
        return int(asked)
    return chosen.tier if chosen is not None else known[0]
