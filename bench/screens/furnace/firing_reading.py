"""A reading: three taps with the last value near, or typed in °C, °F or millivolts with the cold junction."""

from collections.abc import Sequence
from datetime import datetime
from functools import partial
from itertools import pairwise
from typing import Any

from flask import Blueprint, Response, g, request

from bench.science.leaps import leaps_after, slips
from bench.science.refusal import Refusal
from bench.science.thermocouples import c_from_f, temperature_c
from bench.screens.furnace.curves import planned_points
from bench.screens.furnace.firing_view import inside, now, span
from bench.screens.kit.declared import read_field
from bench.screens.kit.found import firing_or_404
from bench.screens.kit.gating import may_record
from bench.steps.read_heat import STEP as READ
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import AGAIN, go, page
from bench.web.recording import record
from bench.web.words import _
from bench.workshop.checked import probe_due
from bench.workshop.gates import reason
from bench.workshop.learning import probe_hours
from bench.workshop.things.charges import COOL_C
from bench.workshop.things.firings import BAND_C, Firing, firing

blueprint = Blueprint("firing_reading", __name__)

UNITS = (("C", "°C"), ("F", "°F"), ("mV", "mV"))
AS_READ = (-50.0, 3600.0)
"""What may be typed, in whichever unit."""
COLD_C = 20.0
COOLED_MIN = 240.0
"""So long after its last reading a furnace that is off may be cold: the keys for that are offered (our own default)."""
LONGEST_MIN = 20.0
SLOWING = 0.85
LEAST_SLOWING = 0.4
"""A climb bends: what comes next is less than what came before, by as much as that was less than what came before it;
with two readings alone a little less (our own default)."""
HELD_MIN = 10.0
"""Three readings within the band of the soak over so long hold, whatever the plan says (our own default)."""
IT_IS_RIGHT = _("It is right")
TOO_FAST = {
    True: _("No furnace cools so fast. A loose probe, or another probe, is likelier."),
    False: _("No furnace heats so fast. A wrong digit, or another probe, is likelier."),
}
"""Why a reading is asked about, by whether it fell."""
SLIPPED = {
    True: _("The plan has {c} °C now. A digit left out, or a loose probe, is likelier."),
    False: _("The plan has {c} °C now. A digit too many is likelier."),
}
"""Why a reading far from the last and from the plan is asked about, by whether it fell."""
TYPED = ("tens", "digit", "same", "c", "unit", "cold_junction_c", "happened", "happened_date")
"""The fields of a reading that go along while it is asked about."""
WORN_H = 100.0
"""A type K probe drifts 5 to 20 °C in about 100 h over 1,000 °C (common practice)."""


@blueprint.get("/firing/<thing>/reading")
def ask(thing: str) -> Response:
    """A reading in three taps, or typed: a digit that was tapped before any tens begins what is typed.

    No tens are chosen beforehand: the first digit of three would then end a figure, and a stall read as a climb.
    """
    begun = request.args.get("c", "")[:1]
    return _ask(firing_or_404(thing), blank(c=begun if begun in "0123456789" else ""))


def _ask(fire: Firing, form: Form) -> Response:
    form.typed["unit"] = form.typed.get("unit") or UNITS[0][0]
    guess = guessed_c(fire, now())
    ten = max(0, int((expected_c(fire, now()) if guess is None else guess) // 10))
    other = bool(request.args.get("other")) or bool(form.errors)
    hours = probe_hours(current_bench().state, fire.plan.furnace) if other else 0.0
    return page(
        "firing/reading.html",
        form=form.learn(partial(read_reading, fire=fire)),
        fire=fire,
        tens=list(dict.fromkeys(max(0, ten + by) for by in (2, 1, 0, -1, -2))),
        units=UNITS if letter_told(fire) else UNITS[:2],
        other=other,
        letter=letter_told(fire),
        probe_overdue=probe_due(current_bench().state, fire.plan.furnace, now()),
        worn=hours if hours >= WORN_H else None,
    )


def guessed_c(fire: Firing, moment: datetime) -> float | None:
    """Where nothing near was read: about what the schedule or a cold furnace would show.

    None where the last reading is near enough to go on from.
    """
    last = fire.last_reading
    if last is None and fire.lit_at is not None:
        return _planned_c(fire, (moment - fire.lit_at).total_seconds() * 1000)
    if last is not None and not fire.burning and (moment - last.when).total_seconds() / 60 > COOLED_MIN:
        return COLD_C
    return None


def _planned_c(fire: Firing, since_ms: float) -> float:
    points = planned_points(fire.plan.segments, 0.0)
    for (early, low), (late, high) in pairwise(points):
        if early <= since_ms < late:
            return low + (high - low) * (since_ms - early) / (late - early)
    return points[-1][1]


def expected_c(fire: Firing, moment: datetime) -> float:
    """About what the probe shows now: the last reading, and in a climb as much more as its slope has brought since."""
    last = fire.last_reading
    if last is None:
        return COLD_C
    c, since = float(last.body.c), min((moment - last.when).total_seconds() / 60, LONGEST_MIN)
    slopes = _slopes(fire.curve)
    if not slopes or since < 1 or not fire.burning or _holds(fire, c):
        return c
    bends = slopes[0] / slopes[1] if len(slopes) > 1 and slopes[1] > 0 else SLOWING
    return max(COLD_C, c + min(max(bends, LEAST_SLOWING), 1.0) * slopes[0] * since)


def _holds(fire: Firing, c: float) -> bool:
    """Whether the fire holds: near what the plan holds, or level for a while. What then differs is scatter."""
    if any(one.hold_min > 0 and abs(c - one.to_c) <= BAND_C for one in fire.plan.segments):
        return True
    newest = fire.curve[-3:]
    read = [one for _, one in newest]
    return len(newest) == 3 and newest[-1][0] - newest[0][0] >= HELD_MIN and max(read) - min(read) <= BAND_C


def _slopes(curve: Sequence[tuple[float, float]]) -> list[float]:
    """The newest slope in °C a minute and the one before it, between readings a minute or more apart."""
    points = list(curve[-1:])
    for one in reversed(curve[-600:]):
        if points[-1][0] - one[0] >= 1 and len(points) < 3:
            points.append(one)
    return [(one[1] - two[1]) / (one[0] - two[0]) for one, two in pairwise(points)]


def _has_thermocouple(fire: Firing) -> bool:
    """Whether the furnace is known to have one: of another nothing is asked in millivolts."""
    return fire.furnace is not None and fire.furnace.probe_type != "none"


def letter_told(fire: Firing) -> str:
    """The type of the furnace's thermocouple as a person is told it; empty where it has none."""
    return letter_of(fire) if _has_thermocouple(fire) else ""


def letter_of(fire: Firing) -> str:
    """The type of the furnace's thermocouple; K, the usual one, where none is known."""
    known = fire.furnace.probe_type if fire.furnace is not None else "none"
    return "K" if known == "none" else known


@blueprint.post("/firing/<thing>/reading")
def keep(thing: str) -> Response:
    """Keep a reading. Facts are never refused for being late."""
    fire = firing_or_404(thing)
    form = read_form()
    if form.typed.get("digit") and not form.typed.get("tens"):
        return go("firing_reading.ask", thing=thing, other=1, c=form.typed["digit"][:1])
    data = read_reading(form, fire)
    if data is None or not form.ok:
        return _ask(fire, form)
    doubt = doubted(fire, data["c"])
    if doubt and not may_record(form, [reason("reading-leaps", doubt, "fire")], IT_IS_RIGHT):
        g.held |= {"held": _("{c:.0f} °C?", c=data["c"]), "again": _("Type it again")}
        return _ask_again(fire, form, data["c"], doubt)
    if record("reading", thing, data, form=form, say=f"{data['c']:.0f} °C"):
        return _after(fire, form, data["c"])
    return _ask(fire, form)


def doubted(fire: Firing, c: float) -> str:
    """Why a reading is asked about before it is recorded; empty where a furnace may have come to it since the last."""
    before = fire.last_reading
    if before is None:
        return ""
    minutes = max(0.0, (now() - before.when).total_seconds() / 60)
    last = _("Last: {c:.0f} °C, {span} ago.", c=before.body.c, span=span(max(minutes, 1.0)))
    if leaps_after(fire.curve, fire.curve[-1][0] + minutes, c, fire.fuel):
        return f"{last} {_(TOO_FAST[c < before.body.c])}"
    planned = planned_now_c(fire, now())
    if planned is None or not slips(c, before.body.c, planned):
        return ""
    return f"{last} {_(SLIPPED[c < before.body.c], c=f'{planned:.0f}')}"


def planned_now_c(fire: Firing, moment: datetime) -> float | None:
    """What the plan has a fire that burns at now; None after its end, or while it does not burn."""
    if fire.lit_at is None or not fire.burning:
        return None
    since_ms = (moment - fire.lit_at).total_seconds() * 1000
    over = since_ms > planned_points(fire.plan.segments, 0.0)[-1][0]
    return None if over else _planned_c(fire, since_ms)


def _ask_again(fire: Firing, form: Form, c: float, doubt: str) -> Response:
    """Whether a reading is right that no furnace makes: what was typed goes along with the answer."""
    typed = {name: form.typed[name] for name in TYPED if form.typed.get(name)}
    again = f"?other=1{AGAIN}" if "c" in typed else ""
    return page(
        "firing/doubt.html", form=form, fire=fire, c=c, doubt=doubt, typed=typed, again=again, why=doubt, status=422
    )


def _after(fire: Firing, form: Form, c: float) -> Response:
    """Back to the firing; of a furnace that was read cold, on to take out what is still in it."""
    waits = any(not one.out for one in inside(fire))
    known = firing(current_bench().state, fire.id) or fire
    proved = known.proved_c is not None and known.proved_c < COOL_C
    cold = proved and not fire.burning and fire.lit_at is not None and c < COOL_C and form.happened_ms is None
    return go("firing_move.out" if cold and waits else "firing.show", thing=fire.id)


def read_reading(form: Form, fire: Firing) -> dict[str, Any] | None:
    """What the form says was read, as a record's data; None where it was refused, beside its field."""
    if form.typed.get("same") and fire.last_reading is not None:
        c = fire.last_reading.body.c
        return {"c": c, "raw": c, "raw_unit": "C"}
    if form.typed.get("digit"):
        tens, digit = form.whole("tens", low=0, high=200), form.whole("digit", low=0, high=9)
        c = None if tens is None or digit is None else 10.0 * tens + digit
        return None if c is None else {"c": c, "raw": c, "raw_unit": "C"}
    unit = form.choice("unit", [name for name, _words in UNITS], required=False) or "C"
    raw = form.number("c", low=AS_READ[0], high=AS_READ[1], unit=dict(UNITS)[unit])
    cold = read_field(form, READ.field("cold_junction_c"), required=False)
    if raw is None:
        return None
    if unit == "C":
        return {"c": raw, "raw": raw, "raw_unit": "C"}
    if unit == "F":
        return {"c": round(c_from_f(raw), 2), "raw": raw, "raw_unit": "F"}
    with form.beside("c"):
        c = from_mv(letter_of(fire), raw, cold or 0.0)
        return {"c": c, "raw": raw, "raw_unit": "mV", "cold_junction_c": cold or 0.0}
    return None


def from_mv(letter: str, mv: float, cold_c: float) -> float:
    """°C from millivolts over a cold junction; Refusal outside the published range of the type."""
    try:
        return round(temperature_c(letter, mv, cold_c), 1)
    except Refusal as refusal:
        raise Refusal(_("As a type {letter}: {why}", letter=letter, why=refusal.say)) from None
