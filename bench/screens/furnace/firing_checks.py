"""The checklists of a firing, and lighting it: the plate is gone while a check or a rule stands against it."""

from datetime import UTC, datetime

from flask import Blueprint, Response, abort, request

from bench.records.record import BENCH
from bench.screens.furnace.firing import PHASES, phase_words
from bench.screens.kit.cautioning import cautions
from bench.screens.kit.checking import (
    Check,
    alone,
    asks,
    checks,
    due,
    lines,
    read_checks,
    read_fittings,
    read_some,
    stopped,
    tally,
    turned,
    unanswered,
)
from bench.screens.kit.declared import past_words
from bench.screens.kit.found import firing_or_404
from bench.screens.kit.gating import may_record, repeated
from bench.steps.light import STEP as LIGHT
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, page
from bench.web.recording import Entry, record, record_all
from bench.web.words import _
from bench.workshop.conditions import CO_EXPIRES
from bench.workshop.gates import stops
from bench.workshop.light_gate import CO_DATE, gate_light
from bench.workshop.things.firings import Firing

blueprint = Blueprint("firing_checks", __name__)

DESCRIBED = "furnace.described"
MISSED = "did not light"
CO_ALARM = "light-co-alarm"
FEET = {"before-lighting": "light", "firing": "fire"}


@blueprint.route("/firing/<thing>/checks/<phase>", methods=["GET", "POST"])
def check_list(thing: str, phase: str) -> Response:
    """One checklist of the firing, answered item by item."""
    fire = firing_or_404(thing)
    if phase not in PHASES:
        abort(404)
    here = current_bench()
    form = read_form() if request.method == "POST" else blank()
    moment = datetime.fromtimestamp((form.happened_ms or form.now_ms) / 1000, UTC) if form.posted else here.now()
    found = turned(checks(here.state, here.library, phase, thing, moment), thing)
    if form.posted:
        lacking = _lacking(form, fire, read_fittings(form, found))
        told = read_some(form, found, thing) if lacking else read_checks(form, found, phase, thing)
        entries = [*lacking, *told, *_read_date(form)]
        if form.ok and record_all(entries, form=form, say=phase_words(phase, fire.fuel)):
            left = unanswered(checks(here.state, here.library, phase, thing, moment))
            if left and form.flag("one"):
                return go("firing_checks.check_list", thing=thing, phase=phase, one=1)
            return go("firing.show", thing=thing)
    one = alone(found, form.flag("one") if form.posted else bool(request.args.get("one")), form.errors)
    return page(
        "firing/checks.html",
        form=form,
        fire=fire,
        phase=phase,
        title=phase_words(phase, fire.fuel),
        found=due(found) if one else found,
        lines=lines(found),
        one=one,
        said=tally(found),
        asked=bool(asks(found)),
        asks_date=_asks_date(found) and not (one and due(found)[0].slug != CO_ALARM),
        stops=stopped(found),
        foot=cautions(FEET.get(phase, "open"), [], fire.fuel),
    )


def _lacking(form: Form, fire: Firing, fittings: set[str]) -> list[Entry]:
    """The furnace's description with what it was just said to lack; a submit that comes again says the same."""
    state, furnace = current_bench().state, fire.plan.furnace
    before = state.record(form.record_id)
    if before is not None and before.kind == DESCRIBED:
        return [Entry(DESCRIBED, furnace, before.data, corrects=before.corrects)]
    slot = state.slot(furnace, DESCRIBED)
    if not fittings or slot.record is None:
        return []
    data = dict(slot.record.data) | dict.fromkeys(fittings, False)
    return [Entry(DESCRIBED, furnace, data, corrects=[one.id for one in slot.heads])]


def _asks_date(found: list[Check]) -> bool:
    """Whether the date of the CO alarm is asked beside its test: the alarm is needed, and no date is kept yet."""
    return any(check.slug == CO_DATE for check in found) and not current_bench().state.setting(CO_EXPIRES)


def _read_date(form: Form) -> list[Entry]:
    told = form.day(CO_EXPIRES)
    return [] if told is None else [Entry("setting.changed", BENCH, {"name": CO_EXPIRES, "value": told})]


@blueprint.post("/firing/<thing>/unlit")
def unlit(thing: str) -> Response:
    """Record that the burner did not light: the gas goes off, the purge is asked anew after five minutes."""
    firing_or_404(thing)
    form = read_form()
    if record("noted", thing, {"what": "light", "value": MISSED}, form=form, say=_("It did not light")):
        return go("firing.show", thing=thing)
    return page("firing/refused.html", form=form, fire=firing_or_404(thing), findings=[], status=422)


@blueprint.post("/firing/<thing>/light")
def light(thing: str) -> Response:
    """Record that it is lit: when nothing stops it, or when it burns in fact, with what was not met."""
    fire = firing_or_404(thing)
    form = read_form()
    found = [f for f in gate_light(current_bench().state, thing, current_bench().library) if f.rule != "already-lit"]
    unmet = [f.rule for f in stops(found)]
    if not may_record(form, found, _("It is on already")):
        form.refuse(_("Not recorded: see the reasons below."))
    elif fire.lit_at is not None and not repeated(form):
        form.refuse(_("It is on already."))
    elif record("lit", thing, {"deviations": unmet}, form=form, say=past_words(LIGHT, thing, {})):
        return go("firing.show", thing=thing)
    return page("firing/refused.html", form=form, fire=fire, findings=found, status=422)
