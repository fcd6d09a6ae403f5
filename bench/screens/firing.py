"""A firing: planned, checked, lit, read, noted, emptied, put out, carried over, closed."""

from typing import Any

from flask import Blueprint, Response, abort, request

from bench.reckoning.rules import emergency_lines
from bench.science.thermocouples import c_from_f, temperature_c
from bench.screens.called import called
from bench.screens.cautioning import cautions
from bench.screens.checking import checks, read_checks, stopped, tally, unanswered
from bench.screens.firing_view import alarms, drawn, forecast, inside, soak_end
from bench.screens.forms import Form, blank, read_form
from bench.screens.gating import may_record
from bench.screens.issuing import code_entries
from bench.screens.joined import bench
from bench.screens.page import code_text, go, page
from bench.screens.placing import in_words, picture, spots
from bench.screens.recording import Entry, record, record_all
from bench.screens.words import _
from bench.workshop.gates import gate_light, gate_out, reason, stops
from bench.workshop.load_gas import load_gas
from bench.workshop.moments import to_ms, utc_text
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import Firing, firing, readings_of

blueprint = Blueprint("firing", __name__)

PHASES = {
    "before-lighting": _("Before lighting"),
    "firing": _("While firing"),
    "before-opening": _("Before opening"),
    "after-shutdown": _("After the fire"),
}
REASONS = (
    ("reached", _("Reached, as planned")),
    ("stalled", _("Stalled: it gets no hotter")),
    ("out-of-gas", _("Out of gas or power")),
    ("fault", _("A fault")),
    ("emergency", _("An emergency")),
)
NOTES = {
    "flame": (("clear", _("Clear")), ("port", _("At port")), ("sooty", _("Sooty")), ("lost", _("Lost"))),
    "wind": (("still", _("Still")), ("steady", _("Steady")), ("gusty", _("Gusty"))),
    "lid": (("closed", _("Closed")), ("ajar", _("Ajar"))),
    "gas-change": (("new bottle", _("New bottle")),),
    "burner-change": (
        ("turned up", _("Turned up")),
        ("turned down", _("Turned down")),
        ("other burner", _("Other burner")),
    ),
    "smell": (("gas", _("Gas")), ("sharp", _("Sharp")), ("none", _("None"))),
    "co": (("alarm", _("CO alarm")),),
}
NOTE_WORDS = {
    "flame": _("Flame"),
    "wind": _("Wind"),
    "lid": _("Lid of the furnace"),
    "gas-change": _("Gas"),
    "burner-change": _("Burner"),
    "smell": _("Smell"),
    "co": _("CO"),
}
SEGMENTS = 4
UNITS = (("C", "°C"), ("F", "°F"), ("mV", "mV"))
AFTER = "after-shutdown"


def firing_or_404(thing: str) -> Firing:
    """The firing of this address, or the calm page."""
    fire = firing(bench().state, thing)
    if fire is None or not bench().state.exists(thing):
        abort(404)
    return fire


@blueprint.get("/firings")
def home() -> Response:
    """All firings, the newest first."""
    state = bench().state
    found = [firing(state, t) for t in reversed(state.things("firing"))]
    return page("firing/home.html", firings=[f for f in found if f is not None])


@blueprint.get("/firings/new")
def ask_new() -> Response:
    """Plan a firing; its heat begins as that of the charge that it is planned for."""
    state = bench().state
    start: dict[str, Any] = {"charge": request.args.get("charge", "")[:26]}
    furnaces = state.open_things("furnace")
    start |= {"furnace": furnaces[-1]} if furnaces else {}
    view = charge(state, start["charge"])
    plans = [state.slot(b, "batch.planned").body for b in view.batches] if view else []
    schedule = next((p.schedule for p in plans if p is not None and p.schedule), ())
    for n, one in enumerate(schedule[:SEGMENTS]):
        start |= {f"to_c.{n}": f"{one.to_c:g}", f"hold_min.{n}": f"{one.hold_min:g}"}
        start |= {f"rate.{n}": f"{one.rate_c_per_h:g}"} if one.rate_c_per_h else {}
    return _ask_new(blank(**start))


def _ask_new(form: Form) -> Response:
    state = bench().state
    named = {sort: [(t, state.slot(t, f"{sort}.described").body.name) for t in state.open_things(sort)]
             for sort in ("furnace", "burner")}  # fmt: skip
    return page(
        "firing/new.html", form=form, furnaces=named["furnace"], burners=named["burner"], segments=range(SEGMENTS)
    )


@blueprint.post("/firings/new")
def keep_new() -> Response:
    """Keep the plan of a firing, with a code."""
    form = read_form()
    state = bench().state
    furnace = form.choice("furnace", state.open_things("furnace"))
    burner = form.choice("burner", state.open_things("burner"), required=False)
    name = form.text("name", max_len=80)
    segments = [s for s in (_segment(form, n) for n in range(SEGMENTS)) if s]
    if not segments and not form.errors:
        form.refuse(_("Say how hot it is to go."), "to_c.0")
    ceiling = state.slot(furnace, "furnace.described").body.ceiling_c if furnace else None
    if segments and ceiling is not None and max(s["to_c"] for s in segments) > ceiling:
        form.refuse(_("This furnace goes to {c:g} °C.", c=ceiling), "to_c.0")
    if not form.ok:
        return _ask_new(form)
    data = {"furnace": furnace, "burner": burner, "name": name, "segments": segments}
    entries = [Entry("firing.planned", None, data), *code_entries(state, form)]
    if record_all(entries, form=form, say=_("A firing is planned")):
        waiting = charge(state, form.typed.get("charge", ""))
        if waiting is not None:
            return go("place.ask", thing=waiting.id, firing=form.record_id)
        return go("firing.show", thing=form.record_id)
    return _ask_new(form)


def _segment(form: Form, n: int) -> dict[str, Any] | None:
    to_c = form.number(f"to_c.{n}", low=20, high=1800, unit="°C", required=False)
    rate = form.number(f"rate.{n}", low=1, high=3000, unit="°C/h", required=False)
    hold = form.number(f"hold_min.{n}", low=0, high=20_000, unit="min", required=False)
    if to_c is None:
        if rate is not None or hold is not None:
            form.refuse(_("Say how hot this stretch goes."), f"to_c.{n}")
        return None
    return {"to_c": to_c, "hold_min": hold or 0.0} | ({"rate_c_per_h": rate} if rate is not None else {})


@blueprint.get("/firing/<thing>")
def show(thing: str) -> Response:
    """The firing now."""
    fire = firing_or_404(thing)
    here = bench()
    state, library = here.state, here.library
    fuel = fire.furnace.fuel if fire.furnace else "any"
    found = {phase: checks(state, library, phase, thing, fuel) for phase in PHASES}
    findings = gate_light(state, thing, library) if fire.lit_at is None else []
    end = soak_end(fire)
    foot = "light" if fire.lit_at is None else "fire" if fire.burning else "open"
    return page(
        "firing/show.html",
        fire=fire,
        small=drawn(fire, "phone"),
        large=drawn(fire, "wide"),
        forecast=forecast(fire),
        inside=inside(fire),
        alarms=alarms(fire),
        soak_ends=to_ms(end) if end else None,
        lists={phase: (PHASES[phase], tally(items), stopped(items)) for phase, items in found.items()},
        findings=findings,
        blocked=bool(stops(findings)),
        notes=[(what, NOTE_WORDS[what], words) for what, words in NOTES.items()],
        noted={r.body.what: r.body.value for r in state.own(thing, "noted")},
        gas=load_gas(state, fire.charges, library),
        sources={key: source.title for key, source in library.sources.items()},
        foot=cautions(foot, [], library),
    )


@blueprint.get("/firing/<thing>/map")
def show_map(thing: str) -> Response:
    """The furnace from above."""
    fire = firing_or_404(thing)
    found = spots(bench().state, fire)
    return page("firing/map.html", fire=fire, picture=picture(found, fire), words=in_words(found), rows=inside(fire))


@blueprint.route("/firing/<thing>/checks/<phase>", methods=["GET", "POST"])
def check_list(thing: str, phase: str) -> Response:
    """One checklist of the firing, answered item by item."""
    fire = firing_or_404(thing)
    if phase not in PHASES:
        abort(404)
    here = bench()
    found = checks(here.state, here.library, phase, thing, fire.furnace.fuel if fire.furnace else "any")
    form = read_form() if request.method == "POST" else blank()
    if form.posted:
        entries = read_checks(form, found, phase, thing)
        if form.ok and record_all(entries, form=form, say=PHASES[phase]):
            return go("firing.show", thing=thing)
    foot = cautions(
        "light" if phase == "before-lighting" else "fire" if phase == "firing" else "open", [], here.library
    )
    return page("firing/checks.html", form=form, fire=fire, phase=phase, title=PHASES[phase], found=found, foot=foot)


@blueprint.post("/firing/<thing>/light")
def light(thing: str) -> Response:
    """Record that it is lit: when nothing stops it, or when it burns in fact, with what was not met."""
    fire = firing_or_404(thing)
    form = read_form()
    found = [f for f in gate_light(bench().state, thing, bench().library) if f.rule != "already-lit"]
    unmet = [f.rule for f in stops(found)]
    in_fact = form.flag("in_fact") or form.happened_ms is not None
    if unmet and not in_fact and not may_record(form, found):
        form.refuse(_("Not lit: see what stands against it."))
    elif fire.lit_at is not None and form.record_id not in bench().state.records:
        form.refuse(_("It is lit already."))
    elif record("lit", thing, {"deviations": unmet}, form=form, say=_("Lit")):
        return go("firing.show", thing=thing)
    return page("firing/refused.html", form=form, fire=fire, findings=found, status=422)


@blueprint.get("/firing/<thing>/reading")
def ask_reading(thing: str) -> Response:
    """A reading in three taps, or typed."""
    return _ask_reading(firing_or_404(thing), blank(unit="C"))


def _ask_reading(fire: Firing, form: Form) -> Response:
    last = fire.last_reading.body.c if fire.last_reading is not None else 20.0
    ten = int(last // 10)
    probe = fire.furnace.probe_type if fire.furnace else "none"
    tens = [max(0, ten + step) for step in (3, 2, 1, 0, -1)]
    other = request.args.get("other") or form.errors
    return page("firing/reading.html", form=form, fire=fire, tens=list(dict.fromkeys(tens)), ten=max(0, ten),
                units=UNITS, other=other, probe=probe)  # fmt: skip


@blueprint.post("/firing/<thing>/reading")
def keep_reading(thing: str) -> Response:
    """Keep a reading. Facts are never refused for being late."""
    fire = firing_or_404(thing)
    form = read_form()
    data = _reading(form, fire)
    if data is not None and form.ok and record("reading", thing, data, form=form, say=f"{data['c']:.0f} °C"):
        return go("firing.show", thing=thing)
    return _ask_reading(fire, form)


def _reading(form: Form, fire: Firing) -> dict[str, Any] | None:
    if form.typed.get("same") and fire.last_reading is not None:
        c = fire.last_reading.body.c
        return {"c": c, "raw": c, "raw_unit": "C"}
    if form.typed.get("digit"):
        tens, digit = form.whole("tens", low=0, high=200), form.whole("digit", low=0, high=9)
        c = None if tens is None or digit is None else 10.0 * tens + digit
        return None if c is None else {"c": c, "raw": c, "raw_unit": "C"}
    unit = form.choice("unit", [name for name, _words in UNITS], required=False) or "C"
    raw = form.number("c", low=-50, high=3600, unit=dict(UNITS)[unit])
    if raw is None:
        return None
    if unit == "C":
        return {"c": raw, "raw": raw, "raw_unit": "C"}
    with form.beside("c"):
        if unit == "F":
            return {"c": round(c_from_f(raw), 2), "raw": raw, "raw_unit": "F"}
        cold = form.number("cold_junction_c", low=-20, high=60, unit="°C", required=False) or 0.0
        letter = fire.furnace.probe_type if fire.furnace and fire.furnace.probe_type != "none" else "K"
        return {"c": round(temperature_c(letter, raw, cold), 1), "raw": raw, "raw_unit": "mV", "cold_junction_c": cold}
    return None


@blueprint.post("/firing/<thing>/note")
def note(thing: str) -> Response:
    """One tap: flame, wind, lid, gas, burner, smell; or CO in ppm, or words."""
    fire = firing_or_404(thing)
    form = read_form()
    what = form.choice("what", [*NOTES, "words", "noise", "power"])
    value = form.text("value", max_len=400, required=True)
    if what == "co" and value is not None and value != "alarm":
        ppm = form.number("value", low=0, high=20_000, unit="ppm")
        value = None if ppm is None else f"{ppm:g}"
    if form.ok and record("noted", thing, {"what": what, "value": value}, form=form, say=f"{what}: {value}"):
        return go("firing.show", thing=thing)
    return page("firing/refused.html", form=form, fire=fire, findings=[], status=422)


@blueprint.route("/firing/<thing>/in", methods=["GET", "POST"])
def go_in(thing: str) -> Response:
    """A crucible goes in while the furnace is hot."""
    fire = firing_or_404(thing)
    form = read_form() if request.method == "POST" else blank()
    if form.posted:
        one = _charge_of(form, fire, anywhere=True)
        if one is not None and form.ok:
            data = {"firing": thing, "charge": one}
            if record("went.in", one, data, form=form, say=_("In"), also={"firing": thing}):
                return go("firing.show", thing=thing)
    return page("firing/move.html", form=form, fire=fire, way="in", rows=inside(fire), findings=[], hot=[])


@blueprint.route("/firing/<thing>/out", methods=["GET", "POST"])
def out(thing: str) -> Response:
    """A crucible comes out: first what its cooling says, then where it was put."""
    fire = firing_or_404(thing)
    here = bench()
    form = read_form() if request.method == "POST" else blank(charge=request.args.get("charge", "")[:26])
    one = _charge_of(form, fire) if form.posted or form.typed.get("charge") else None
    findings = gate_out(here.state, one, here.library) if one else []
    if form.posted and one is not None:
        place = form.text("rest_place", max_len=120)
        if form.ok and not (may_record(form, findings) or form.flag("in_fact")):
            form.refuse(_("It stays in, for the reasons below. If it is out in fact, say so."))
        data = {"firing": thing, "charge": one, "rest_place": place}
        if form.ok and record("came.out", one, data, form=form, say=_("Out"), also={"firing": thing}):
            return go("cool.show", thing=one)
    view = charge(here.state, one) if one else None
    return page("firing/move.html", form=form, fire=fire, way="out", rows=inside(fire), findings=findings, view=view,
                hot=[one] if one else [])  # fmt: skip


def _charge_of(form: Form, fire: Firing, anywhere: bool = False) -> str | None:
    """The charge that a form means, by its list or by the code of its crucible."""
    state = bench().state
    thing = form.ulid("charge", required=False)
    if thing and (anywhere or thing in fire.charges) and charge(state, thing) is not None:
        return thing
    code = form.code("code")
    if code is None:
        return None
    for one in fire.charges if not anywhere else state.open_things("charge"):
        view = charge(state, one)
        if view is not None and view.crucible_code == code:
            return one
    form.refuse(_("No crucible with this code belongs to this firing."), "code")
    return None


@blueprint.post("/firing/<thing>/all-out")
def all_out(thing: str) -> Response:
    """All out now, with tongs in both hands: one tap; which stands where is told later."""
    fire = firing_or_404(thing)
    form = read_form()
    if form.ok and record("came.out", thing, {"firing": thing, "all": True}, form=form, say=_("All out")):
        return go("firing.show", thing=thing)
    return page("firing/refused.html", form=form, fire=fire, findings=[], status=422)


@blueprint.post("/firing/<thing>/timer")
def timer(thing: str) -> Response:
    """A timer with an absolute end; by default the end of the soak."""
    fire = firing_or_404(thing)
    form = read_form()
    minutes = form.number("minutes", low=1, high=20_000, unit="min")
    purpose = form.text("purpose", max_len=80) or _("Soak ends")
    if minutes is not None and form.ok:
        ends = utc_text(form.now_ms + round(minutes * 60_000))
        data = {"purpose": purpose, "ends_at": ends, "known_to_laptop": True}
        if record("timer.set", thing, data, form=form, say=purpose):
            return go("firing.show", thing=thing)
    return page("firing/refused.html", form=form, fire=fire, findings=[], status=422)


@blueprint.route("/firing/<thing>/off", methods=["GET", "POST"])
def off(thing: str) -> Response:
    """The fire is off, and why."""
    fire = firing_or_404(thing)
    form = read_form() if request.method == "POST" else blank()
    if form.posted:
        why = form.choice("reason", [name for name, _words in REASONS])
        words = form.text("words", max_len=400)
        if form.ok and record("fire.off", thing, {"reason": why, "words": words}, form=form, say=_("Fire off")):
            return go("firing.check_list", thing=thing, phase=AFTER)
    return page("firing/off.html", form=form, fire=fire, reasons=REASONS, foot=cautions("fire", [], bench().library))


@blueprint.route("/firing/<thing>/carry", methods=["GET", "POST"])
def carry(thing: str) -> Response:
    """Carry over: the charges that were not opened go on into another firing, each to the same place."""
    fire = firing_or_404(thing)
    state = bench().state
    left = [c for c in (charge(state, t) for t in fire.charges) if c is not None and c.state not in ("opened", "lost")]
    left = [c for c in left if c.stay is not None and c.stay.firing == thing]
    others = [
        f for f in (firing(state, t) for t in state.open_things("firing")) if f and f.off is None and f.id != thing
    ]
    form = read_form() if request.method == "POST" else blank()
    if form.posted:
        to = form.choice("to", [f.id for f in others])
        if not left and not form.errors and form.record_id not in state.records:
            form.refuse(_("No charge of this firing waits to be carried over."))
        if form.ok and to is not None:
            entries = [_moved(c.id, thing, to) for c in left]
            say = _("{n} charges carried over", n=len(entries))
            if form.record_id in state.records or record_all(entries, form=form, say=say):
                return go("firing.show", thing=to)
    names = [(f.id, f"{f.name} {code_text(f.code)}") for f in others]
    return page("firing/carry.html", form=form, fire=fire, left=left, others=names)


def _moved(thing: str, from_firing: str, to: str) -> Entry:
    placed = bench().state.slot(thing, "placed", from_firing).body
    data = {"firing": to, "tier": placed.tier, "row": placed.row, "column": placed.column, "clock": placed.clock}
    return Entry("placed", thing, data, also={"firing": to})


@blueprint.route("/firing/<thing>/close", methods=["GET", "POST"])
def close(thing: str) -> Response:
    """Close a firing: only once the checks after it are ticked."""
    fire = firing_or_404(thing)
    here = bench()
    found = checks(here.state, here.library, AFTER, thing, fire.furnace.fuel if fire.furnace else "any")
    findings = []
    if fire.off is None and fire.lit_at is not None:
        findings.append(reason("still-lit", _("The fire is not recorded as off."), "fire"))
    if fire.lit_at is not None and (unanswered(found) or stopped(found)):
        say = _("The checks after the fire, at 30 and 60 minutes, are not all ticked.")
        findings.append(reason("after-checks", say, "fire"))
    form = read_form() if request.method == "POST" else blank()
    if form.posted:
        if not may_record(form, findings):
            form.refuse(_("Not closed: see below."))
        outcome = fire.off.reason if fire.off else "called-off"
        if form.ok and record("closed", thing, {"outcome": outcome}, form=form, say=_("Firing closed")):
            return go("firing.show", thing=thing)
    return page("firing/close.html", form=form, fire=fire, findings=findings)


@blueprint.get("/firing/<thing>/readings.csv")
def readings_csv(thing: str) -> Response:
    """The readings as a table: UTC time, °C, and as read."""
    fire = firing_or_404(thing)
    rows = ["utc,c,raw,raw_unit"]
    for r in readings_of(bench().state, fire.id):
        rows.append(
            f"{r.when:%Y-%m-%dT%H:%M:%SZ},{r.body.c:g},{'' if r.body.raw is None else r.body.raw},{r.body.raw_unit}"
        )
    return Response("\n".join(rows) + "\n", mimetype="text/csv")


@blueprint.get("/emergency")
def emergency() -> Response:
    """Emergency: what to do now. It looks like instructions, because it stops no machine."""
    here = bench()
    state = here.state
    burning = [f for f in (firing(state, t) for t in state.open_things("firing")) if f is not None and f.burning]
    fuel = burning[0].furnace.fuel if burning and burning[0].furnace else "any"
    items = here.library.phase_items("emergency", fuel)
    lines = emergency_lines(state.setting("emergency_number"), state.setting("poison_number"))
    metals = sorted({called(c, state, here.library).name for f in burning for c in f.charges})
    gases = sorted({gas for f in burning for gas in load_gas(state, f.charges, here.library).harmful})
    return page("emergency/show.html", items=items, lines=lines, burning=burning, metals=metals, gases=gases,
                number=state.setting("emergency_number"))  # fmt: skip
