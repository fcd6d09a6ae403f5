"""The checklists of a firing, and lighting it: the plate is gone while a check or a rule stands against it."""

from collections.abc import Sequence

from flask import Blueprint, Response, abort, request

from bench.screens.cautioning import cautions
from bench.screens.checking import Check, checks, read_checks, stopped
from bench.screens.firing import PHASES
from bench.screens.firing_view import firing_or_404, fuel_of
from bench.screens.forms import blank, read_form
from bench.screens.gating import may_record, repeated
from bench.screens.joined import bench
from bench.screens.moments import local
from bench.screens.page import go, page
from bench.screens.recording import record, record_all
from bench.screens.words import _
from bench.workshop.gates import gate_light, stops

blueprint = Blueprint("firing_checks", __name__)

FEET = {"before-lighting": "light", "firing": "fire"}


def turned(found: Sequence[Check], day: int) -> list[Check]:
    """The list begun at another item each day, the items in their order, so that ticking does not become a reflex."""
    at = day % len(found) if found else 0
    return [*found[at:], *found[:at]]


@blueprint.route("/firing/<thing>/checks/<phase>", methods=["GET", "POST"])
def check_list(thing: str, phase: str) -> Response:
    """One checklist of the firing, answered item by item."""
    fire = firing_or_404(thing)
    if phase not in PHASES:
        abort(404)
    here = bench()
    day = local(here.now_ms(), here.zone_min()).toordinal()
    found = turned(checks(here.state, here.library, phase, thing, fuel_of(fire)), day)
    form = read_form() if request.method == "POST" else blank()
    if form.posted:
        entries = read_checks(form, found, phase, thing)
        if form.ok and record_all(entries, form=form, say=PHASES[phase]):
            return go("firing.show", thing=thing)
    return page(
        "firing/checks.html",
        form=form,
        fire=fire,
        phase=phase,
        title=PHASES[phase],
        found=found,
        stops=stopped(found),
        foot=cautions(FEET.get(phase, "open"), [], here.library),
    )


@blueprint.post("/firing/<thing>/light")
def light(thing: str) -> Response:
    """Record that it is lit: when nothing stops it, or when it burns in fact, with what was not met."""
    fire = firing_or_404(thing)
    form = read_form()
    found = [f for f in gate_light(bench().state, thing, bench().library) if f.rule != "already-lit"]
    unmet = [f.rule for f in stops(found)]
    if unmet and not form.flag("in_fact") and not may_record(form, found):
        form.refuse(_("Not lit: see what stands against it."))
    elif fire.lit_at is not None and not repeated(form):
        form.refuse(_("It is lit already."))
    elif record("lit", thing, {"deviations": unmet}, form=form, say=_("Lit")):
        return go("firing.show", thing=thing)
    return page("firing/refused.html", form=form, fire=fire, findings=found, status=422)
