"""What was lost of a thing, and when a thing is closed."""

from flask import Blueprint, Response, abort, make_response, redirect, url_for

from bench.screens.kit.declared import past_words, read_step, shown_fields
from bench.screens.kit.thing_label import ThingLabel, thing_label
from bench.steps.lost import STEP as LOST
from bench.web.current import bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import page
from bench.web.recording import record
from bench.web.words import _

blueprint = Blueprint("ending", __name__)

OUTCOMES: dict[str, tuple[tuple[str, str, str], ...]] = {
    "jar": (("empty", _("Empty"), ""), ("discarded", _("Thrown out"), _("by the rules for its waste"))),
    "crucible": (("retired", _("Out of use"), _("for good")), ("broken", _("Broken"), "")),
    "batch": (
        ("used-up", _("Used up"), ""),
        ("failed", _("Failed"), _("it becomes nothing")),
        ("given-up", _("Given up"), ""),
    ),
    "charge": (("lost", _("Lost"), _("all of it, spilt or burst")), ("given-up", _("Given up"), "")),
    "pigment": (("used-up", _("Used up"), ""), ("discarded", _("Thrown out"), _("by the rules for its waste"))),
    "swatch": (("put-by", _("Put by"), ""), ("spoiled", _("Spoiled"), "")),
    "series": (("done", _("Done"), ""), ("given-up", _("Given up"), "")),
    "waste": (("full", _("Full"), _("a new container takes its place")), ("collected", _("Collected"), "")),
}
PUT_AWAY = (("put-away", _("Put away"), ""), ("gone", _("Gone"), _("sold, broken or taken down")))


def _find(thing: str) -> ThingLabel:
    state = bench().state
    if not state.exists(thing):
        abort(404)
    return thing_label(thing, state, bench().library)


@blueprint.get("/thing/<thing>/lost")
def ask_lost(thing: str) -> Response:
    """Ask what was lost of a thing."""
    return _ask_lost(_find(thing), blank())


def _ask_lost(one: ThingLabel, form: Form) -> Response:
    if one.sort not in LOST.on:
        abort(404)
    return page("thing/lost.html", form=form, called=one, fields=shown_fields(form, LOST, one.id))


@blueprint.post("/thing/<thing>/lost")
def keep_lost(thing: str) -> Response:
    """Record a loss; grams that nobody knows are left open, never nought."""
    one, form = _find(thing), read_form()
    if one.sort not in LOST.on:
        abort(404)
    data = read_step(form, LOST, thing).data
    if form.ok and record("lost", thing, data, form=form, say=past_words(LOST, thing, data)):
        return make_response(redirect(url_for("thing.show", thing=thing), 303))
    return _ask_lost(one, form)


@blueprint.get("/thing/<thing>/close")
def ask_close(thing: str) -> Response:
    """Ask how a thing ended."""
    return _ask_close(_find(thing), blank())


def _ask_close(one: ThingLabel, form: Form) -> Response:
    state = bench().state
    if one.sort == "firing":
        return make_response(redirect(f"/firing/{one.id}/close", 303))
    return page(
        "thing/close.html",
        form=form,
        called=one,
        outcomes=outcomes(one.sort),
        closed=bool(state.own(one.id, "closed")),
        holds=_holds(one),
    )


def outcomes(sort: str | None) -> tuple[tuple[str, str, str], ...]:
    """How a thing of a sort may end: what is recorded, its words, a second line."""
    return OUTCOMES.get(sort or "", PUT_AWAY)


def _holds(one: ThingLabel) -> list[ThingLabel]:
    """What is still open of a thing and would be closed away with it: the charges of a batch."""
    here = bench()
    if one.sort != "batch":
        return []
    charges = [r.subject for r in here.state.in_force(one.id, "charged") if not here.state.emptied(r.subject)]
    return [thing_label(charge, here.state, here.library) for charge in charges]


@blueprint.post("/thing/<thing>/close")
def keep_close(thing: str) -> Response:
    """Record the end of a thing."""
    one, form = _find(thing), read_form()
    if one.sort == "firing":
        return _ask_close(one, form)
    outcome = form.choice("outcome", [each[0] for each in outcomes(one.sort)])
    data = {"outcome": outcome, "why": form.text("why", max_len=400)}
    if form.ok and record("closed", thing, data, form=form, say=_("Closed: {name}", name=one.name)):
        return make_response(redirect(one.path, 303))
    return _ask_close(one, form)
