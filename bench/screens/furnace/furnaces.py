"""Furnaces and burners: what they burn, where they stand and breathe, how hot they go, where crucibles stand."""

from collections.abc import Sequence
from typing import Any

from flask import Blueprint, Response, abort, request

from bench.reckoning.rules import DEFER, OLD_LINING
from bench.records.kinds import FurnaceDescribed
from bench.records.record import Record
from bench.screens.furnace.checking_probe import say_probe
from bench.screens.kit.declared import read_field
from bench.screens.kit.thing_label import thing_label
from bench.steps.add_burner import STEP as BURNER
from bench.steps.add_furnace import FUELS, HOURS, PLACES
from bench.steps.add_furnace import STEP as FURNACE
from bench.steps.fields import Option
from bench.web.current import current_bench
from bench.web.drawing import Pot, grid, ring
from bench.web.drawing.furnace import Plan
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, page
from bench.web.paging import paged
from bench.web.recording import record
from bench.web.words import _
from bench.workshop.checked import checked, probe_name
from bench.workshop.learning import learnt, probe_hours

blueprint = Blueprint("furnaces", __name__)

FLUES = {"yes": True, "no": False, "unknown": None}
SPOTS = ("tiers", "rows", "columns", "places")
FITTINGS = ("blower", "lid_switch", "cut_out", "rcd")
"""The guards that a furnace may lack: asked once here, so that no check asks for what is not there."""


@blueprint.get("/furnaces")
def show() -> Response:
    """All furnaces and burners; those that are put away stand at the end."""
    state = current_bench().state
    things = [*state.things("furnace"), *state.things("burner")]
    part = paged(
        sorted(things, key=lambda thing: (not state.is_open(state.sort_of(thing), thing), things.index(thing)))
    )
    rows = {
        sort: [_row(one, sort) for one in part.found if state.sort_of(one) == sort] for sort in ("furnace", "burner")
    }
    return page("furnaces/show.html", furnaces=rows["furnace"], burners=rows["burner"], part=part)


def _row(thing: str, sort: str) -> dict[str, Any]:
    state = current_bench().state
    body = state.slot(thing, f"{sort}.described").body
    said = [_word(FUELS, body.fuel)] + ([_word(PLACES, body.place)] if sort == "furnace" else [])
    return {"id": thing, "name": body.name, "second": " · ".join(said), "closed": not state.is_open(sort, thing)}


def _word(options: tuple[Option, ...], value: str) -> str:
    return next(_(one.words) for one in options if one.value == value)


@blueprint.get("/furnaces/new")
def ask() -> Response:
    """Ask for a furnace; the place and the room begin as the settings say."""
    state = current_bench().state
    start = {
        "tiers": "1",
        "place": state.setting("place") or "",
        "room_m3": state.setting("room_m3"),
        "air_changes_per_h": state.setting("airflow"),
        "charge": request.args.get("charge", "")[:26],
    }
    return page("furnaces/new.html", form=blank(**start), **_choices())


@blueprint.post("/furnaces/new")
def keep() -> Response:
    """Record the furnace; then back to the firing that a crucible waits for."""
    form = read_form()
    data = read_furnace(form)
    if form.ok and record("furnace.described", None, data, form=form, say=_("Furnace: {name}", name=data["name"])):
        waits = current_bench().state.sort_of(form.typed.get("charge", "")) == "charge"
        return go("firing_new.ask", charge=form.typed["charge"]) if waits else go("furnaces.one", thing=form.record_id)
    return page("furnaces/new.html", form=form, **_choices())


def _choices() -> dict[str, Any]:
    known = current_bench().state.setting("place")
    return {
        "place_words": _word(PLACES, known) if known in {one.value for one in PLACES} else "",
        "fields": {one.name: one for one in FURNACE.asked},
        "probes": [(one.value, _(one.words)) for one in FURNACE.field("probe_type").options],
    }


def read_furnace(form: Form) -> dict[str, Any]:
    """What the form says of a furnace; every refusal stands beside its field."""
    said = {one.name: read_field(form, one, one.required) for one in FURNACE.asked if one.name not in SPOTS}
    guards = {name: FLUES[form.choice(name, FLUES, required=False) or "unknown"] for name in ("flue", *FITTINGS)}
    probe = {
        "probe_type": read_field(form, FURNACE.field("probe_type"), False) or "none",
        "probe_class": said["probe_class"] or "unknown",
    }
    return said | guards | probe | _spots(form, said["layout"])


def _spots(form: Form, layout: str | None) -> dict[str, Any]:
    """Where crucibles stand. What was typed for the other layout is read too, so that no slip in it is passed over.

    Without a layout neither way is asked for.
    """
    needed = {"ring": ("places",), "grid": ("tiers", "rows", "columns")}.get(layout or "", ())
    found = {one.name: read_field(form, one, one.name in needed) for one in FURNACE.asked if one.name in SPOTS}
    places = found.pop("places")
    return {"tiers": 1, "places": places} if layout == "ring" else found


@blueprint.get("/burners/new")
def ask_burner() -> Response:
    """Ask for a burner."""
    return page("furnaces/burner.html", form=blank(fuel="gas"), fields=BURNER.asked)


@blueprint.post("/burners/new")
def keep_burner() -> Response:
    """Record the burner."""
    form = read_form()
    data = {one.name: read_field(form, one, one.required) for one in BURNER.asked}
    if form.ok and record("burner.described", None, data, form=form, say=_("Burner: {name}", name=data["name"])):
        return go("furnaces.one", thing=form.record_id)
    return page("furnaces/burner.html", form=form, fields=BURNER.asked)


@blueprint.get("/furnace/<thing>")
def one(thing: str) -> Response:
    """A furnace or a burner, with the firings that it has done."""
    here = current_bench()
    sort = here.state.sort_of(thing) or ""
    if sort not in ("furnace", "burner") or not here.state.exists(thing):
        abort(404)
    slot = here.state.slot(thing, f"{sort}.described")
    if slot.record is None:
        abort(404)
    part = paged(here.state.listed(thing, "firing.planned").newest_first())
    return page(
        "furnaces/one.html",
        old_lining=OLD_LINING.say,
        defer=DEFER,
        thing=thing,
        sort=sort,
        view=slot.body,
        record=slot.record.id,
        plan=cold_plan(slot.body) if sort == "furnace" else None,
        fuel=_word(FUELS, slot.body.fuel),
        place=_word(PLACES, slot.body.place) if sort == "furnace" else "",
        fires=_fires(part.found, thing, sort),
        part=part,
        taught=learnt(here.state, thing) if sort == "furnace" else None,
        probe_checked=say_probe(checked(here.state, probe_name(thing))),
        probe_h=probe_hours(here.state, thing) if sort == "furnace" else 0.0,
        closed=bool(here.state.own(thing, "closed")),
    )


def _fires(plans: Sequence[Record], thing: str, sort: str) -> list[dict[str, Any]]:
    """The firings of some plans, of those that stand and are of this furnace or burner."""
    here = current_bench()
    found = []
    for row in plans:
        if not here.state.is_effective(row.id) or getattr(row.body, sort) != thing or not row.body.segments:
            continue
        name = thing_label(row.subject)
        found.append(
            {
                "path": name.path,
                "name": name.name,
                "code": name.code,
                "second": row.local.strftime("%Y-%m-%d"),
                "end": _("{c:g} °C", c=max(s.to_c for s in row.body.segments)),
            }
        )
    return found


def cold_plan(view: FurnaceDescribed) -> Plan:
    """The furnace from above, cold and empty."""
    if view.layout == "ring":
        return ring([Pot(hour, "empty") for hour in ring_places(view.places or HOURS)])
    return grid([], view.rows or 1, view.columns or 1)


def ring_places(n: int) -> list[str]:
    """The hours of the clock at which `n` places of a ring stand, 12 first; at most twelve."""
    n = min(n, HOURS)
    return [str(HOURS * k // n or HOURS) for k in range(n)]
