"""Crucibles in and out: by tap or by code, each with its cooling first; all at once, and told apart later."""

from datetime import datetime
from typing import Any

from flask import Blueprint, Response, request, url_for

from bench.reckoning.rules import Finding
from bench.reckoning.rules.follows import COLD_BELOW_C
from bench.records.moments import to_ms
from bench.records.state import State
from bench.screens.furnace.firing_view import inside, stay_in
from bench.screens.furnace.placing import Spot, read_place, spots
from bench.screens.kit.cautioning import cautions
from bench.screens.kit.declared import past_words, read_field
from bench.screens.kit.found import firing_or_404
from bench.screens.kit.gating import may_record
from bench.screens.kit.last import last_said
from bench.screens.kit.onward import onward
from bench.screens.kit.repeats import from_now
from bench.screens.kit.thing_label import thing_label
from bench.screens.loading.charge import COOLINGS, SURE
from bench.steps.come_out import STEP as OUT
from bench.steps.cool import STEP as COOL
from bench.steps.go_in import STEP as IN
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.moments import clock_text
from bench.web.page import code_text, go, page
from bench.web.recording import Entry, record, record_all
from bench.web.words import _, many
from bench.workshop.gates import gate_out, gate_place, stops
from bench.workshop.going_in import gate_in
from bench.workshop.parts import charge_parts
from bench.workshop.things.charges import COOL_C, Charge, charge
from bench.workshop.things.firings import Firing

blueprint = Blueprint("firing_move", __name__)

TENS = (4, 3, 2, 1, 0)
"""The tens of what can be held, for a crucible out of a cold furnace."""
NOT_PLACED = "not-placed"
HOT_PULL = "hot-pull-unplanned"
LOOK_MIN = 60.0
"""After so many minutes out of the fire it is looked at again (our own default); only a reading of it clears it."""


@blueprint.route("/firing/<thing>/in", methods=["GET", "POST"])
def go_in(thing: str) -> Response:
    """A crucible goes in while the furnace is hot; one without a place is given it by the same key."""
    fire = firing_or_404(thing)
    asked = request.args.get("charge", "")[:26] or _only_outside(fire)
    form = read_form() if request.method == "POST" else blank(charge=asked)
    state = current_bench().state
    one = _charge_of(form, fire, anywhere=True) if form.posted or form.typed.get("charge") else None
    spot = read_place(form.typed.get("place", ""), spots(state, fire))
    findings = _against_in(state, one, fire, spot) if one else []
    if form.posted and one is not None:
        if form.ok and not may_record(form, findings, _("Already in: enter it")):
            form.refuse(_("Not recorded: see the reasons below. Is the crucible already in? Enter that."))
        entry = _in_entry(fire, one, spot)
        said = past_words(IN, one, {}) if spot is None or fire.burning else _("Placed at {place}", place=spot.name)
        if form.ok and record_all([entry], form=form, say=said):
            return go("firing.show", thing=thing)
    return _move(fire, form, "in", charge(state, one) if one else None, findings)


def _only_outside(fire: Firing) -> str:
    """The one charge that could go in; nothing where there are more or none."""
    found = _outside(fire)
    return found[0].id if len(found) == 1 else ""


def _against_in(state: State, thing: str, fire: Firing, spot: Spot | None) -> list[Finding]:
    """What stands against going in; with a place, also against standing there, and no longer that it has none."""
    found = gate_in(state, thing, fire.id, current_bench().library)
    if spot is None:
        return found
    placing = gate_place(state, thing, fire.id, spot.where)
    told = {one.rule for one in placing}
    return [*placing, *(one for one in found if one.rule not in told | {NOT_PLACED})]


def _in_entry(fire: Firing, thing: str, spot: Spot | None) -> Entry:
    """What is recorded: being placed in a fire that burns is being in it."""
    if spot is None:
        return Entry("went.in", thing, {"firing": fire.id, "charge": thing}, also={"firing": fire.id})
    tier, row, column, clock = spot.where
    where = {"firing": fire.id, "tier": tier, "row": row, "column": column, "clock": clock}
    return Entry("placed", thing, where, also={"firing": fire.id})


def _place_key(fire: Firing, view: Charge | None, findings: list[Finding]) -> tuple[str, str] | None:
    """The place and the words of the key that places what has no place here yet; None where nothing else stands
    against it, or no place is empty."""
    against = {one.rule for one in stops(findings)}
    free = next((spot for spot in spots(current_bench().state, fire) if spot.charge is None), None)
    if view is None or free is None or against != {NOT_PLACED} or fire.off is not None:
        return None
    if fire.burning:
        return free.value, _("Place at {place}, record in", place=free.name)
    return free.value, _("Place at {place}", place=free.name)


@blueprint.route("/firing/<thing>/out", methods=["GET", "POST"])
def out(thing: str) -> Response:
    """A crucible comes out: first what its cooling says, then where it was put."""
    fire = firing_or_404(thing)
    here = current_bench()
    asked = {"charge": request.args.get("charge", "")[:26] or _only(fire), "code": request.args.get("code", "")[:20]}
    form = read_form() if request.method == "POST" else blank(**asked)
    form.offer(rest_place=last_said("charge", "came.out", "rest_place"))
    one = _charge_of(form, fire) if form.posted or asked["charge"] or asked["code"] else None
    findings = gate_out(here.state, one, here.library) if one else []
    place = read_field(form, OUT.field("rest_place"), required=False)
    if form.posted and one is not None:
        if form.ok and not may_record(form, findings, _("Already out: enter it")):
            form.refuse(_("Not recorded: see the reasons below. Is the crucible already out? Enter that."))
        surface = _surface(form)
        entries = _out_entries(form, fire, one, place)
        if surface is not None:
            entries.append(Entry("touched", one, {"thing": one, "surface_c": surface}))
        if form.ok and record_all(entries, form=form, say=past_words(OUT, one, {})):
            if form.flag("hands"):
                return go("hands.show", thing=thing)
            return onward(form, one, "open", home=url_for("cool.show", thing=one))
    if one is not None and not form.posted:
        form.typed["charge"] = one
    return _move(fire, form, "out", charge(here.state, one) if one else None, findings)


def _surface(form: Form) -> float | None:
    """What its own surface read out of a cold furnace, by its tens and its digit or typed; None where unread."""
    if form.typed.get("digit") and not form.typed.get("tens"):
        form.typed["surface_c"] = form.typed["digit"][:1]
        form.refuse(_("Type the rest of the figure, then record."), "surface_c")
        return None
    if form.typed.get("digit"):
        tens, digit = form.whole("tens", low=0, high=200), form.whole("digit", low=0, high=9)
        return None if tens is None or digit is None else 10.0 * tens + digit
    found: float | None = read_field(form, COOL.field("surface_c"), required=False)
    return found


def _is_cold(fire: Firing) -> bool:
    """Whether the furnace is off and was read cold: what comes out can be read on itself at once."""
    c = fire.proved_c
    return not fire.burning and fire.lit_at is not None and c is not None and c < COOL_C


def _wants_reading(fire: Firing, view: Charge | None, findings: list[Finding]) -> bool:
    """Whether a charge waits for nothing but a reading that says that its furnace is cold enough to be opened."""
    return view is not None and not fire.burning and {one.rule for one in stops(findings)} == {HOT_PULL}


def _only(fire: Firing) -> str:
    """The one charge that is still in this furnace; nothing where there are more or none."""
    left = [one.charge for one in inside(fire) if not one.out]
    return left[0] if len(left) == 1 and not request.args.get("code") else ""


def _out_entries(form: Form, fire: Firing, thing: str, place: str | None) -> list[Entry]:
    """The record, and with a crucible that comes hot out of a fire the time at which to look at it again."""
    data: dict[str, Any] = {"firing": fire.id, "charge": thing, "rest_place": place}
    if form.flag("unconfirmed"):  # taken for the next in the order; its tag is checked afterwards
        data["unconfirmed"] = True
    entries = [Entry("came.out", thing, data, also={"firing": fire.id})]
    if fire.burning and form.happened_ms is None:
        view = charge(current_bench().state, thing)
        code = code_text(view.crucible_code) if view is not None else ""
        ends = from_now(form, LOOK_MIN, "ends_at", n=1)
        timer = {"purpose": _("Read the surface of {code}", code=code), "ends_at": ends, "known_to_laptop": True}
        entries.append(Entry("timer.set", thing, timer))
    return entries


def _move(fire: Firing, form: Form, way: str, view: Charge | None, findings: list[Any]) -> Response:
    state = current_bench().state
    load = inside(fire)
    if way == "out":
        rows = [(one.charge, one.what, one.said) for one in load if not one.out]
    else:
        rows = [(c.id, thing_label(c.id), _(c.state.replace("-", " "))) for c in _outside(fire)]
    return page(
        "firing/move.html",
        form=form,
        fire=fire,
        way=way,
        rows=rows,
        options=[(one, f"{code_text(what.code or '')} {what.name}".strip(), said, one) for one, what, said in rows],
        view=view,
        name=thing_label(view.id).name if view is not None else "",
        cooling=COOLINGS[view.cooling_mode] if view is not None else "",
        sure=view is not None and view.cooling_basis in SURE,
        heat=next((one.heat for one in load if view is not None and one.charge == view.id), None),
        minutes=next((one.minutes for one in load if view is not None and one.charge == view.id), None),
        furnace_c=fire.proved_c,
        read_at=clock_text(to_ms(fire.proved_at), current_bench().zone_min()) if fire.proved_at is not None else "",
        findings=findings,
        blocked=bool(stops(findings)),
        read_below_c=COLD_BELOW_C if way == "out" and _wants_reading(fire, view, findings) else None,
        place_key=_place_key(fire, view, findings) if way == "in" else None,
        tens=TENS if way == "out" and view is not None and _is_cold(fire) and not request.args.get("other") else (),
        foot=cautions("open", charge_parts(state, view.id) if view is not None else []),
    )


def _outside(fire: Firing) -> list[Charge]:
    """The charges that could go in: filled, not in a furnace now; those placed here first."""
    state = current_bench().state
    views = [charge(state, thing) for thing in state.open_things("charge")]
    found = [v for v in views if v is not None and v.state in ("damp", "dry", "placed", "out-hot", "cool")]
    return sorted(found, key=lambda v: stay_in(v, fire) is None)


def _charge_of(form: Form, fire: Firing, anywhere: bool = False) -> str | None:
    """The charge that a form means, by its list or by the code of its crucible."""
    state = current_bench().state
    code = form.code("code", required=False)
    if code is None and not form.typed.get("code", "").strip():
        thing = form.ulid("charge", required=False)
        if thing and (anywhere or thing in fire.charges) and charge(state, thing) is not None:
            return thing
        form.refuse(_("Choose one, or type the code on it."), "code")
        return None
    if code is None:
        return None
    for one in fire.charges if not anywhere else state.open_things("charge"):
        view = charge(state, one)
        if view is not None and view.crucible_code == code:
            return str(one)
    where = _("No crucible with this code belongs to this firing.") if not anywhere else _("No filled crucible has it.")
    form.refuse(where, "code")
    return None


@blueprint.post("/firing/<thing>/all-out")
def all_out(thing: str) -> Response:
    """All out now, with tongs in both hands: one tap; which stands where is told later."""
    fire = firing_or_404(thing)
    form = read_form()
    if form.ok and record("came.out", thing, {"firing": thing, "all": True}, form=form, say=_("All out")):
        return go("firing_move.ask_apart", thing=thing)
    return page("firing/refused.html", form=form, fire=fire, findings=[], status=422)


@blueprint.get("/firing/<thing>/apart")
def ask_apart(thing: str) -> Response:
    """After all came out: which of them stands where."""
    return _ask_apart(firing_or_404(thing), blank())


def _untold(fire: Firing) -> list[tuple[str, datetime]]:
    state = current_bench().state
    found = []
    for one in inside(fire):
        stay = stay_in(charge(state, one.charge), fire)
        if one.untold and stay is not None and stay.came_out is not None:
            found.append((one.charge, stay.came_out))
    return found


def _ask_apart(fire: Firing, form: Form) -> Response:
    rows = [(c, thing_label(c), clock_text(to_ms(at), current_bench().zone_min())) for c, at in _untold(fire)]
    return page("firing/apart.html", form=form, fire=fire, rows=rows)


@blueprint.post("/firing/<thing>/apart")
def apart(thing: str) -> Response:
    """Keep where each one stands: they came out when all did. What is left empty is told another time."""
    fire = firing_or_404(thing)
    form = read_form()
    told = _told(form, fire)
    if told and form.ok:
        entries = [_told_apart(thing, one, at, place) for one, at, place in told]
        if record_all(entries, form=form, say=many("One identified", "{n} identified", len(entries))):
            return go("firing_move.ask_apart" if _untold(fire) else "firing.show", thing=thing)
    if not told and not form.errors:
        form.refuse(_("Enter where at least one of them is."))
    return _ask_apart(fire, form)


def _told_apart(firing: str, thing: str, at: datetime, place: str) -> Entry:
    data = {"firing": firing, "charge": thing, "rest_place": place}
    return Entry("came.out", thing, data, also={"firing": firing}, happened_ms=to_ms(at))


def _told(form: Form, fire: Firing) -> list[tuple[str, datetime, str]]:
    """(charge, when it came out, where it stands) of every row that was filled; a repeat tells the same again."""
    state = current_bench().state
    times = dict(_untold(fire))
    for one in fire.charges:
        stay = stay_in(charge(state, one), fire)
        if (
            one not in times
            and stay is not None
            and stay.came_out is not None
            and state.record(form.record_id) is not None
        ):
            times[one] = stay.came_out
    found = []
    for one, at in times.items():
        place = form.text(f"rest_place.{one}", max_len=120)
        if place:
            found.append((one, at, place))
    return found
