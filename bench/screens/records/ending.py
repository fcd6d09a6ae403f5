"""What was lost of a thing, and when a thing is closed."""

from flask import Blueprint, Response, abort, make_response, redirect, url_for

from bench.screens.kit.declared import past_words, read_named, read_step, shown_fields
from bench.screens.kit.thing_label import ThingLabel, label_or_404, thing_label
from bench.steps.close import STEP as CLOSE
from bench.steps.close import ends_of
from bench.steps.lost import STEP as LOST
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import page
from bench.web.recording import record
from bench.web.words import _

blueprint = Blueprint("ending", __name__)


@blueprint.get("/thing/<thing>/lost")
def ask_lost(thing: str) -> Response:
    """Ask what was lost of a thing."""
    return _ask_lost(label_or_404(thing), blank())


def _ask_lost(one: ThingLabel, form: Form) -> Response:
    if one.sort not in LOST.on:
        abort(404)
    return page("thing/lost.html", form=form, called=one, fields=shown_fields(form, LOST, one.id))


@blueprint.post("/thing/<thing>/lost")
def keep_lost(thing: str) -> Response:
    """Record a loss; grams that nobody knows are left open, never nought."""
    one, form = label_or_404(thing), read_form()
    if one.sort not in LOST.on:
        abort(404)
    data = read_step(form, LOST, thing).data
    if form.ok and record("lost", thing, data, form=form, say=past_words(LOST, thing, data)):
        return make_response(redirect(url_for("thing.show", thing=thing), 303))
    return _ask_lost(one, form)


@blueprint.get("/thing/<thing>/close")
def ask_close(thing: str) -> Response:
    """Ask how a thing ended."""
    return _ask_close(label_or_404(thing), blank())


def _ask_close(one: ThingLabel, form: Form) -> Response:
    state = current_bench().state
    if one.sort == "firing":
        return make_response(redirect(f"/firing/{one.id}/close", 303))
    return page(
        "thing/close.html",
        form=form,
        called=one,
        outcomes=[(each.value, _(each.words), _(each.why) if each.why else "") for each in ends_of(one.sort)],
        closed=bool(state.own(one.id, "closed")),
        holds=_holds(one),
    )


def _holds(one: ThingLabel) -> list[ThingLabel]:
    """What is still open of a thing and would be closed away with it: the charges of a batch."""
    here = current_bench()
    if one.sort != "batch":
        return []
    charges = [r.subject for r in here.state.effective_records(one.id, "charged") if not here.state.emptied(r.subject)]
    return [thing_label(charge) for charge in charges]


@blueprint.post("/thing/<thing>/close")
def keep_close(thing: str) -> Response:
    """Record the end of a thing."""
    one, form = label_or_404(thing), read_form()
    if one.sort == "firing":
        return _ask_close(one, form)
    outcome = form.choice("outcome", [each.value for each in ends_of(one.sort)])
    data = {"outcome": outcome, **read_named(form, CLOSE, "why")}
    if form.ok and record("closed", thing, data, form=form, say=_("Closed: {name}", name=one.name)):
        return make_response(redirect(one.path, 303))
    return _ask_close(one, form)
