"""The checklists of a firing, and lighting it: the plate is gone while a check or a rule stands against it."""

from flask import Blueprint, Response, abort, request

from bench.screens.furnace.firing import PHASES
from bench.screens.furnace.firing_view import firing_or_404, fuel_of
from bench.screens.kit.cautioning import cautions
from bench.screens.kit.checking import checks, due, read_checks, stopped, tally, turned, unanswered
from bench.screens.kit.forms import blank, read_form
from bench.screens.kit.gating import may_record, repeated
from bench.screens.kit.joined import bench
from bench.screens.kit.page import go, page
from bench.screens.kit.recording import record, record_all
from bench.screens.kit.words import _
from bench.workshop.gates import gate_light, stops

blueprint = Blueprint("firing_checks", __name__)

FEET = {"before-lighting": "light", "firing": "fire"}


@blueprint.route("/firing/<thing>/checks/<phase>", methods=["GET", "POST"])
def check_list(thing: str, phase: str) -> Response:
    """One checklist of the firing, answered item by item."""
    fire = firing_or_404(thing)
    if phase not in PHASES:
        abort(404)
    here = bench()
    found = turned(checks(here.state, here.library, phase, thing, fuel_of(fire)), thing)
    form = read_form() if request.method == "POST" else blank()
    if form.posted:
        entries = read_checks(form, found, phase, thing)
        if form.ok and record_all(entries, form=form, say=PHASES[phase]):
            left = unanswered(checks(here.state, here.library, phase, thing, fuel_of(fire)))
            if left and form.flag("one"):
                return go("firing_checks.check_list", thing=thing, phase=phase, one=1)
            return go("firing.show", thing=thing)
    one = form.flag("one") if form.posted else bool(request.args.get("one"))
    return page(
        "firing/checks.html",
        form=form,
        fire=fire,
        phase=phase,
        title=PHASES[phase],
        found=due(found) if one else found,
        one=one,
        said=tally(found),
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
    if not may_record(form, found, _("It burns already")):
        form.refuse(_("Not lit: see what stands against it."))
    elif fire.lit_at is not None and not repeated(form):
        form.refuse(_("It is lit already."))
    elif record("lit", thing, {"deviations": unmet}, form=form, say=_("Lit")):
        return go("firing.show", thing=thing)
    return page("firing/refused.html", form=form, fire=fire, findings=found, status=422)
