"""Leaving a burning fire: it is handed over to somebody by name or shut down, never left alone."""

from flask import Blueprint, Response, request

from bench.screens.kit.cautioning import cautions
from bench.screens.kit.found import firing_or_404
from bench.screens.kit.gating import may_record
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, page
from bench.web.recording import record
from bench.web.words import _
from bench.workshop.things.firings import Firing
from bench.workshop.watching import ALONE, BACK, WITH, gate_leave, watch_of

blueprint = Blueprint("firing_watch", __name__)

WAYS = ("hand-over", "alone", "back")
NAME_MAX = 80


@blueprint.route("/firing/<thing>/watch", methods=["GET", "POST"])
def watch(thing: str) -> Response:
    """Hand a burning fire over; leaving it alone is only ever kept as something that happened."""
    fire = firing_or_404(thing)
    form = read_form() if request.method == "POST" else blank()
    if form.posted:
        said = _said(form, fire)
        if form.ok and said is not None:
            value, words = said
            if record("noted", thing, {"what": "watch", "value": value}, form=form, say=words):
                return go("firing.show", thing=thing)
    here = current_bench()
    return page(
        "firing/watch.html",
        form=form,
        fire=fire,
        watch=watch_of(here.state, thing),
        findings=gate_leave(here.state, thing, here.library) if fire.burning else [],
        foot=cautions("fire", []),
    )


def _said(form: Form, fire: Firing) -> tuple[str, str] | None:
    """What is noted of the watch, and what the line above says; None where it was refused."""
    way = form.choice("way", WAYS)
    if way == "hand-over":
        name = form.text("name", max_len=NAME_MAX, required=True)
        if name is not None and not form.flag("stands_here"):
            form.refuse(_("Tick this once that person is at the fire and ready."), "stands_here")
        return None if name is None else (WITH + name, _("{name} is with the fire", name=name))
    if way == "alone":
        against = gate_leave(current_bench().state, fire.id, current_bench().library)
        if not may_record(form, against):
            form.refuse(_("Do not leave: stay, hand the fire over, or shut it down."))
        return ALONE, _("The fire was left alone")
    return None if way is None else (BACK, _("Back at the fire"))
