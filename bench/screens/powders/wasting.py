"""Waste: containers for what never goes down the drain, their content summed from the records."""

from dataclasses import dataclass
from functools import partial
from typing import Any

from flask import Blueprint, Response

from bench.reckoning.rules import Finding
from bench.reference.cautions import Advice
from bench.screens.kit.cautioning import cautions
from bench.screens.kit.declared import past_words, read_field, read_step, shown_fields
from bench.screens.kit.gating import goes_on
from bench.screens.kit.issuing import code_entries
from bench.screens.kit.thing_label import ThingLabel, thing_label
from bench.steps.collect import STEP as COLLECT
from bench.steps.fill_waste import STEP
from bench.web.current import current_bench
from bench.web.existing import or_404
from bench.web.forms import Form, blank, read_form
from bench.web.ids import is_ulid
from bench.web.moments import date_text, is_date
from bench.web.page import go, page
from bench.web.paging import paged
from bench.web.recording import Entry, record, record_all
from bench.web.words import _
from bench.workshop.flags import flags_of
from bench.workshop.things.waste import Waste, waste
from bench.workshop.waste_gate import gate_waste

blueprint = Blueprint("wasting", __name__, url_prefix="/waste")

IS_IN = _("Already in: enter it")


@dataclass(frozen=True)
class Content:
    """One sort of content: how often it went in, how much of it, and which things it came from."""

    words: str
    times: int
    volume_ml: float
    mass_g: float
    sources: tuple[ThingLabel, ...]


def waste_or_404(thing: str) -> Waste:
    """The container of this address, or the calm page."""
    return or_404(waste(current_bench().state, thing) if is_ulid(thing) else None)


def contents(view: Waste) -> list[Content]:
    """What is in a container, like contents as one; what it was set up for is no content of it."""
    grouped: dict[str, list[Any]] = {}
    for one in view.added:
        if one.volume_ml or one.mass_g or one.from_ is not None or one is not view.added[0]:
            grouped.setdefault(one.contents, []).append(one)
    found = []
    for words, rows in grouped.items():
        sources = dict.fromkeys(row.from_ for row in rows if row.from_ is not None)
        volume, mass = sum(row.volume_ml or 0.0 for row in rows), sum(row.mass_g or 0.0 for row in rows)
        known = tuple(thing_label(one) for one in sources)
        found.append(Content(words, len(rows), volume, mass, known))
    return found


@blueprint.get("")
def home() -> Response:
    """All containers, those that still stand here first."""
    state = current_bench().state
    things = state.things("waste")
    gone = {thing for thing in things if state.worked_out(thing, "collected", partial(_collected, thing))}
    part = paged([*(thing for thing in things if thing not in gone), *(t for t in reversed(things) if t in gone)])
    found = [w for w in (waste(state, t) for t in part.found) if w is not None]
    foot = cautions("wash", [])
    return page("waste/home.html", containers=found, part=part, foot=foot, advice=_advice())


def _collected(thing: str) -> bool:
    return bool(current_bench().state.own(thing, "waste.collected"))


def _advice() -> list[Advice]:
    """What the rows say of waste, and of the rinses that make most of it."""
    library = current_bench().library
    return [*library.advice_for("waste"), *(one for one in library.advice_for("wash") if one.slug == "collect-rinses")]


@blueprint.get("/new")
def ask_new() -> Response:
    """What a new container is for."""
    return page("waste/new.html", form=blank())


@blueprint.post("/new")
def keep_new() -> Response:
    """Set up a container, with a code for its label."""
    form = read_form()
    data = {
        "container": form.record_id,
        "contents": read_field(form, STEP.field("contents"), required=True),
        "capacity_ml": read_field(form, STEP.field("capacity_ml"), required=False),
    }
    entries = [Entry("waste.added", None, data), *code_entries(form)]
    if form.ok and record_all(entries, form=form, say=_("A waste container")):
        return go("wasting.show", thing=form.record_id)
    return page("waste/new.html", form=form)


@blueprint.get("/<thing>")
def show(thing: str) -> Response:
    """One container, what is in it, and what goes in next."""
    return _show(waste_or_404(thing), blank())


def _show(view: Waste, form: Form) -> Response:
    here = current_bench()
    return page(
        "waste/show.html",
        form=form,
        fields=shown_fields(form, STEP, view.id),
        view=view,
        rows=contents(view),
        findings=_against(view, form) if form.errors else [],
        flags=flags_of(here.state, view.id, here.library),
        foot=cautions("waste", []),
    )


def _against(view: Waste, form: Form) -> list[Finding]:
    """What stands against what the form says going into this container."""
    here = current_bench()
    volume = read_field(form, STEP.field("volume_ml"), required=False)
    return gate_waste(here.state, view.id, form.typed.get("contents", "")[:200], here.library, volume_ml=volume)


@blueprint.post("/<thing>")
def add(thing: str) -> Response:
    """Record what went into a container."""
    view = waste_or_404(thing)
    form = read_form()
    data = read_step(form, STEP, thing).data
    if form.ok and not goes_on(form, _against(view, form), IS_IN):
        return _show(view, form)
    if form.ok and record("waste.added", thing, data, form=form, say=past_words(STEP, thing, data)):
        return go("wasting.show", thing=thing)
    return _show(view, form)


@blueprint.get("/<thing>/collected")
def ask_collected(thing: str) -> Response:
    """Who collected it, and when."""
    here = current_bench()
    view = waste_or_404(thing)
    return page("waste/collected.html", form=blank(date=date_text(here.now_ms(), here.zone_min())), view=view)


@blueprint.post("/<thing>/collected")
def keep_collected(thing: str) -> Response:
    """Record that it was collected."""
    view = waste_or_404(thing)
    form = read_form()
    data = read_step(form, COLLECT, thing).data
    if data.get("date") is not None and not is_date(data["date"]):
        form.refuse(_("Type the date as year, month and day, such as 2026-03-01."), "date")
    if form.ok and record("waste.collected", thing, data, form=form, say=past_words(COLLECT, thing, data)):
        return go("wasting.show", thing=thing)
    return page("waste/collected.html", form=form, view=view)
