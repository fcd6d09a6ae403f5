"""Cooling: what was planned for this one, before the door is opened; and the reading that clears *too hot to touch*."""

from dataclasses import dataclass

from flask import Blueprint, Response, request

from bench.reckoning.rules.follows import COLD_BELOW_C
from bench.reckoning.working import Step, step
from bench.records.moments import to_ms
from bench.reference.cautions import Advice
from bench.science.slope_line import Line, line
from bench.screens.furnace.firing_view import now
from bench.screens.kit.cautioning import cautions
from bench.screens.kit.declared import past_words, read_step, shown_fields
from bench.screens.kit.found import charge_or_404
from bench.screens.kit.onward import onward
from bench.screens.kit.thing_label import thing_label
from bench.screens.loading.charge import COOLINGS, SURE
from bench.steps.cool import STEP
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.moments import clock_text
from bench.web.page import go, page
from bench.web.recording import record
from bench.web.words import _
from bench.workshop.gates import gate_out, stops
from bench.workshop.heat import curve_of
from bench.workshop.parts import charge_parts
from bench.workshop.things.charges import COOL_C, Charge, charge
from bench.workshop.things.firings import firing

blueprint = Blueprint("cool", __name__)

ADVICE = {
    "in-furnace": "cool-furnace",
    "either": "cool-furnace",
    "slow": "cool-slow",
    "fast": "cool-air",
    "quench-water": "cool-quench",
}


@dataclass(frozen=True)
class Furnace:
    """The furnace that a charge is still in: its last reading, when, and how fast it falls or rises, in °C an hour.

    `proved_c` is what hot ware is judged by: not a reading that came too fast. `stale`: it was read before the fire
    went off, and tells nothing of how it cools.
    """

    id: str
    c: float
    proved_c: float
    read_at: str
    burning: bool
    c_per_h: float | None
    way: str
    stale: bool
    working: tuple[Step, ...] = ()


@blueprint.get("/charge/<thing>/cool")
def show(thing: str) -> Response:
    """How this charge is cooled, and whether it may be touched."""
    return _show(charge_or_404(thing), blank())


def _show(view: Charge, form: Form) -> Response:
    here = current_bench()
    inside = view.state == "in-heat"
    stay = view.stay
    out_min = (now() - stay.came_out).total_seconds() / 60 if stay is not None and stay.came_out is not None else None
    advised = _advice(view)
    furnace = _furnace(view) if inside else None
    findings = gate_out(here.state, view.id, here.library) if inside else []
    return page(
        "cool/show.html",
        form=form,
        fields=shown_fields(form, STEP, view.id),
        view=view,
        name=thing_label(view.id).name,
        cooling=COOLINGS[view.cooling_mode],
        sure=view.cooling_basis in SURE,
        inside=inside,
        furnace=furnace,
        out_min=out_min,
        rest_place=stay.rest_place if stay is not None else None,
        unchecked=stay.firing if stay is not None and stay.unconfirmed else None,
        limit=COOL_C,
        reasons=_reasons(view),
        advice=advised,
        advice_working=_advice_working(advised),
        findings=findings,
        order=_order(furnace, bool(stops(findings))),
        foot=cautions("open", charge_parts(here.state, view.id)),
    )


def _furnace(view: Charge) -> Furnace | None:
    fire = firing(current_bench().state, view.stay.firing) if view.stay is not None else None
    last = fire.last_reading if fire is not None else None
    if fire is None or last is None:
        return None
    curve = curve_of(fire)
    stale = fire.off_at is not None and last.when <= fire.off_at
    newest = None if stale else line(curve, len(curve) - 1)
    rate, way = (None, _("not read since the fire is off")) if stale else _slope(newest)
    at = clock_text(to_ms(last.when), current_bench().zone_min())
    proved = last.body.c if fire.proved_c is None else fire.proved_c
    return Furnace(fire.id, last.body.c, proved, at, fire.burning, rate, way, stale, _working(newest))


def _slope(newest: Line | None) -> tuple[float | None, str]:
    """How fast the readings go, without its sign, and which way; no rate where they do not tell."""
    if newest is None:
        return None, _("too few readings to tell")
    if newest.falls:
        return -60 * newest.slope_c_min, _("falling")
    if newest.slope_c_min - 2 * newest.slope_error > 0:
        return 60 * newest.slope_c_min, _("rising")
    return None, _("steady")


def _working(newest: Line | None) -> tuple[Step, ...]:
    if newest is None:
        return ()
    say = _("A straight line through the last {n} readings, over {m:.0f} min", n=newest.count, m=newest.span_min)
    return (step(say, 60 * newest.slope_c_min, "°C/h"),)


def _order(furnace: Furnace | None, held: bool) -> str:
    """What is to be done now with a charge that is still in, and until when: the largest words of its page."""
    burning = furnace is not None and furnace.burning
    if not held:
        return _("Pull it hot now, as planned.") if burning else _("Take it out now.")
    if burning:
        return _("Leave it in: the fire is on.")
    if furnace is not None and furnace.proved_c <= COLD_BELOW_C:
        return _("Leave it in: not yet, see below.")
    return _("Leave it in until the furnace reads {c:g} °C.", c=COLD_BELOW_C)


def _advice_working(found: list[Advice]) -> list[Step]:
    """The figures of an advice, each with its source and how sure it is."""
    steps = []
    for one in found:
        steps += [step(f"{one.says} {_ground(one)}", source=source) for source in one.sources[:1] or (None,)]
    return steps


def _ground(one: Advice) -> str:
    return {
        "memory": _("From memory: no source of it was read."),
        "read": _("Read in its source."),
        "project-default": _("Our own default."),
    }.get(one.basis, _("In part from memory."))


def _reasons(view: Charge) -> list[tuple[str, str]]:
    """Why its targets are cooled so: (target, reason)."""
    state, library = current_bench().state, current_bench().library
    plans = [state.slot(b, "batch.planned").body for b in view.batches]
    targets = [library.target(plan.target) for plan in plans if plan is not None and plan.target]
    found = {t.name: t.cooling_why for t in targets if t is not None and t.cooling_why not in ("", "unknown")}
    return list(found.items())


def _advice(view: Charge) -> list[Advice]:
    known = current_bench().library.advice
    slug = ADVICE.get(view.cooling_mode)
    return [known[one] for one in (slug, "shock-limits", "unload-below") if one is not None and one in known]


@blueprint.post("/charge/<thing>/cool")
def keep(thing: str) -> Response:
    """Keep a reading of this very thing."""
    view = charge_or_404(thing)
    form = read_form()
    data = read_step(form, STEP, thing).data
    if form.ok and record("touched", thing, data, form=form, say=past_words(STEP, thing, data)):
        after = charge(current_bench().state, thing)
        cold = after is not None and not after.too_hot_to_touch and request.form.get("stay") != "1"
        return onward(form, thing, "open") if cold else go("cool.show", thing=thing)
    return _show(view, form)
