"""Notes on a fire in one tap, and timers with an absolute end."""

from functools import partial

from flask import Blueprint, Response

from bench.records.moments import instant, to_ms, utc_text
from bench.screens.furnace.firing import NOTE_WORDS, NOTES, ONLY
from bench.screens.kit.declared import read_field
from bench.screens.kit.found import firing_or_404
from bench.screens.kit.repeats import from_now
from bench.steps.note import STEP as NOTE
from bench.steps.set_timer import STEP as TIMER
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.moments import clock_text
from bench.web.page import go, page
from bench.web.recording import record
from bench.web.words import _
from bench.workshop.soaking import soaking
from bench.workshop.things.firings import Firing

blueprint = Blueprint("firing_note", __name__)

MINUTE_MS = 60_000
DAY_MS = 24 * 60 * MINUTE_MS


@blueprint.get("/firing/<thing>/note")
def ask(thing: str) -> Response:
    """Everything that can be noted of a fire, and words."""
    return _ask(firing_or_404(thing), blank())


def _ask(fire: Firing, form: Form) -> Response:
    state = current_bench().state
    return page(
        "firing/note.html",
        form=form,
        fire=fire,
        notes=[(what, NOTE_WORDS[what], NOTES[what]) for what in NOTES if what not in ONLY.get(fire.fuel, ())],
        noted={r.body.what: r.body.value for r in state.by_time(fire.id, "noted")},
    )


@blueprint.post("/firing/<thing>/note")
def note(thing: str) -> Response:
    """Keep a note: flame, lid, wind, burner, gas, noise, smell, CO in ppm, or words."""
    fire = firing_or_404(thing)
    form = read_form()
    what = form.choice("what", [*NOTES, "words"])
    value = read_field(form, NOTE.field("value"), required=True)
    if what == "co" and value is not None and value != "alarm":
        ppm = form.number("value", low=0, high=20_000, unit="ppm")
        value = None if ppm is None else f"{ppm:g}"
    if form.ok and what is not None and value is not None:
        said = value if what == "words" else f"{NOTE_WORDS[what]}: {value}"
        if record("noted", thing, {"what": what, "value": value}, form=form, say=said[:80]):
            return go("firing.show", thing=thing)
    return _ask(fire, form)


@blueprint.get("/firing/<thing>/timer")
def ask_timer(thing: str) -> Response:
    """A timer: to the soak's end, for some minutes, or to a time of the clock."""
    return _ask_timer(firing_or_404(thing), blank())


def _ask_timer(fire: Firing, form: Form) -> Response:
    here = current_bench()
    soak = soaking(here.state, fire)
    running = [r for r in here.state.by_time(fire.id, "timer.set") if r.body.ends_at >= utc_text(here.now_ms())]
    return page(
        "firing/timer.html",
        form=form.learn(partial(_ends_ms, fire=fire)),
        fire=fire,
        soak=soak,
        soak_ends=to_ms(soak.ends) if soak.ends else None,
        running=[(r.id, r.body.purpose, to_ms(instant(r.body.ends_at))) for r in running],
    )


@blueprint.post("/firing/<thing>/timer")
def timer(thing: str) -> Response:
    """Keep a timer. Its end is a moment, so that no lock, restart or clock change moves it."""
    fire = firing_or_404(thing)
    form = read_form()
    ends = _ends_ms(form, fire)
    usual = _("Soak ends") if form.flag("soak") else _("Look at the fire")
    purpose = read_field(form, TIMER.field("purpose"), required=False) or usual
    if ends is not None and form.ok:
        data = {"purpose": purpose, "ends_at": utc_text(ends), "known_to_laptop": True}
        said = _("{purpose}, {clock}", purpose=purpose, clock=clock_text(ends, form.zone_min))
        if record("timer.set", thing, data, form=form, say=said):
            return go("firing_note.ask_timer", thing=thing)
    return _ask_timer(fire, form)


def _ends_ms(form: Form, fire: Firing) -> int | None:
    """The moment at which it ends, in ms since 1970; None where it was refused, beside its field."""
    if form.flag("soak"):
        ends = soaking(current_bench().state, fire).ends
        if ends is None:
            form.refuse(_("No soak is running, or its end is not known."))
            return None
        return to_ms(ends)
    clock = form.typed.get("clock", "").strip()
    minutes = form.number("minutes", low=1, high=20_000, unit="min", required=not clock)
    if clock:
        return _at_clock(form)
    return None if minutes is None else to_ms(instant(from_now(form, minutes, "ends_at")))


def _at_clock(form: Form) -> int | None:
    """The next time that the clock shows what was typed."""
    quiet = Form({"clock": form.typed["clock"]}, now_ms=form.now_ms + DAY_MS, zone_min=form.zone_min)
    later = quiet.time("clock")
    if later is None:
        form.refuse(quiet.errors["clock"], "clock")
        return None
    return later if later - form.now_ms <= DAY_MS else later - DAY_MS
