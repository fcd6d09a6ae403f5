"""Waste: containers for what never goes down the drain, their content summed from the records."""

from typing import Any

from flask import Blueprint, Response, abort, request

from bench.screens.cautioning import cautions
from bench.screens.forms import blank, read_form
from bench.screens.ids import is_ulid
from bench.screens.issuing import code_entries
from bench.screens.joined import bench
from bench.screens.moments import date_text
from bench.screens.page import go, page
from bench.screens.recording import Entry, record, record_all
from bench.screens.words import _
from bench.workshop.things.waste import waste

blueprint = Blueprint("wasting", __name__, url_prefix="/waste")


@blueprint.get("")
def home() -> Response:
    """All containers."""
    state = bench().state
    found = [w for w in (waste(state, t) for t in state.things("waste")) if w is not None]
    return page("waste/home.html", containers=found, foot=cautions("wash", [], bench().library))


@blueprint.route("/new", methods=["GET", "POST"])
def new() -> Response:
    """A new container."""
    form = read_form() if request.method == "POST" else blank()
    if form.posted:
        contents = form.text("contents", max_len=200, required=True)
        data = {"container": form.record_id, "contents": contents}
        entries = [Entry("waste.added", None, data), *code_entries(bench().state, form)]
        if form.ok and record_all(entries, form=form, say=_("A waste container")):
            return go("wasting.show", thing=form.record_id)
    return page("waste/new.html", form=form)


@blueprint.route("/<thing>", methods=["GET", "POST"])
def show(thing: str) -> Response:
    """One container; and more that goes into it."""
    view = waste(bench().state, thing) if is_ulid(thing) else None
    if view is None:
        abort(404)
    form = read_form() if request.method == "POST" else blank()
    if form.posted:
        data: dict[str, Any] = {"container": thing, "contents": form.text("contents", max_len=200, required=True)}
        data |= {"volume_ml": form.number("volume_ml", high=1_000_000, unit="mL", required=False)}
        data |= {"mass_g": form.number("mass_g", high=1_000_000, unit="g", required=False)}
        if form.ok and record("waste.added", thing, data, form=form, say=_("Into the waste")):
            return go("wasting.show", thing=thing)
    return page("waste/show.html", form=form, view=view, foot=cautions("wash", [], bench().library))


@blueprint.route("/<thing>/collected", methods=["GET", "POST"])
def collected(thing: str) -> Response:
    """Collected: by whom, and when."""
    here = bench()
    view = waste(here.state, thing) if is_ulid(thing) else None
    if view is None:
        abort(404)
    form = read_form() if request.method == "POST" else blank(date=date_text(here.now_ms(), here.zone_min()))
    if form.posted:
        data = {"by": form.text("by", max_len=120, required=True), "date": form.text("date", max_len=40, required=True)}
        if form.ok and record("waste.collected", thing, data, form=form, say=_("Collected")):
            return go("wasting.show", thing=thing)
    return page("waste/collected.html", form=form, view=view)
