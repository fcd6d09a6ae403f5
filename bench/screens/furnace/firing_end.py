"""The end of a firing: off and why, its charges carried over, and closed once the checks after it are ticked."""

from dataclasses import replace
from typing import Any

from flask import Blueprint, Response, request

from bench.reckoning.rules import Finding
from bench.records.moments import to_ms
from bench.screens.furnace.firing_view import held_by_readings
from bench.screens.kit.cautioning import cautions
from bench.screens.kit.declared import past_words, read_named, read_step, shown_fields
from bench.screens.kit.found import firing_or_404
from bench.screens.kit.gating import may_record, repeated
from bench.screens.kit.thing_label import thing_label
from bench.screens.loading.charge import STATES as CHARGE_STATES
from bench.steps import HOUSE
from bench.steps.close import STEP as CLOSE
from bench.steps.fields import Field
from bench.steps.judging import against
from bench.steps.shut_down import STEP as SHUT_DOWN
from bench.web.current import current_bench
from bench.web.forms import blank, read_form
from bench.web.page import code_text, go, page
from bench.web.recording import Entry, record, record_all
from bench.web.words import _, many
from bench.workshop.asked import listed, still_open
from bench.workshop.facts import facts
from bench.workshop.gates import reason, stops
from bench.workshop.snapshot import AFTER, after_looks
from bench.workshop.soaking import soaking
from bench.workshop.things.charges import Charge, charge
from bench.workshop.things.firings import BAND_C, Firing, firing, occupied

blueprint = Blueprint("firing_end", __name__)

FINISHED = "reached"
AS_PLANNED = _("Record it as finished as planned")


@blueprint.route("/firing/<thing>/off", methods=["GET", "POST"])
def off(thing: str) -> Response:
    """The fire is off, and why; the notice that it stands still brings its reason with it.

    The end that the readings support stands first; one that they contradict is asked about. Where they neither support
    nor contradict the planned hold, its minutes that were read stand beside it.
    """
    fire = firing_or_404(thing)
    form = read_form() if request.method == "POST" else blank(reason=request.args.get("reason", ""))
    against: list[Finding] = []
    low = ended_low(fire) or ended_early(fire, form.now_ms)
    if form.posted:
        data = read_step(form, SHUT_DOWN, thing).data
        low = ended_low(fire) or ended_early(fire, form.now_ms if form.happened_ms is None else form.happened_ms)
        against = [reason("ended-low", low, "fire")] if low and data.get("reason") == FINISHED else []
        if form.ok and not may_record(form, against, AS_PLANNED):
            form.refuse(_("Not recorded: {say}", say=low), "reason")
        if form.ok and record("fire.off", thing, data, form=form, say=past_words(SHUT_DOWN, thing, data)):
            return go("firing_checks.check_list", thing=thing, phase=AFTER, one=1)
    held = held_by_readings(soaking(current_bench().state, fire))
    fields = [_in_order(one, low, held) for one in shown_fields(form, SHUT_DOWN, thing)]
    return page(
        "firing/off.html",
        form=form,
        fire=fire,
        fields=fields,
        against=against,
        as_planned=AS_PLANNED,
        foot=cautions("fire", [], fire.fuel),
    )


def ended_low(fire: Firing) -> str:
    """What its readings say against an end as planned; empty where they reached the planned peak, or there are none."""
    if not fire.readings or fire.curve.c.max() >= fire.peak_c - BAND_C:
        return ""
    return _("Highest reading {c:.0f} of {peak:.0f} °C.", c=fire.curve.c.max(), peak=fire.peak_c)


def ended_early(fire: Firing, off_ms: int) -> str:
    """What its readings say against the planned hold of a fire that is off at that moment; empty where they allow it.

    It can have been at heat from the last reading under the band, or from the lighting, to its end.
    """
    hold, start = fire.soak.hold_min, fire.soak_start
    since = fire.lit_at
    if start is None or since is None or fire.off is not None:
        return ""
    since = max([since, *(r.when for r in fire.readings if r.when < start)])
    most = (off_ms - to_ms(since)) / 60_000
    if most > hold - 1:
        return ""
    return _("At heat for at most {most:.0f} of {hold:g} min.", most=max(0.0, most), hold=hold)


def _in_order(one: Field, low: str, held: str) -> Field:
    """The ways to end with the one first that the readings support: a fire that stayed low, or was put out before its
    time at heat, did not end as planned."""
    if one.name != "reason":
        return one
    planned = [replace(option, why=low or held) for option in one.options if option.value == FINISHED]
    others = [option for option in one.options if option.value != FINISHED]
    return replace(one, options=(*others, *planned) if low else (*planned, *others))


@blueprint.route("/firing/<thing>/carry", methods=["GET", "POST"])
def carry(thing: str) -> Response:
    """Carry over: the charges that were not opened go on into another firing, each to the same place."""
    fire = firing_or_404(thing)
    state = current_bench().state
    left = waiting(fire)
    others = [f for f in (firing(state, t) for t in state.open_things("firing")) if f and _takes(f, thing)]
    form = read_form() if request.method == "POST" else blank(to=others[0].id if len(others) == 1 else "")
    if form.posted:
        to = form.choice("to", [f.id for f in others])
        chosen = [c for c in left if not form.flag(f"leave.{c.id}")]
        if not chosen and not form.errors and not repeated(form):
            form.refuse(_("No charge of this firing is left to carry over."))
        taken = _taken(chosen, thing, to) if to is not None else []
        if taken and not repeated(form):
            form.refuse(_("In the other firing these places are taken: {codes}.", codes=", ".join(taken)), "to")
        if form.ok and to is not None:
            entries = [_moved(c.id, thing, to) for c in chosen]
            say = many("One charge carried over", "{n} charges carried over", len(entries))
            if repeated(form) or record_all(entries, form=form, say=say):
                return go("firing.show", thing=to)
    names = [(f.id, f"{f.name} {code_text(f.code)}") for f in others]
    rows = [(c, thing_label(c.id), _(CHARGE_STATES[c.state])) for c in left]
    return page("firing/carry.html", form=form, fire=fire, left=rows, others=names)


def waiting(fire: Firing) -> list[Charge]:
    """The charges whose last stay is in this firing and that nobody has opened."""
    state = current_bench().state
    views = [c for c in (charge(state, t) for t in fire.charges) if c is not None and c.state not in ("opened", "lost")]
    return [c for c in views if c.stay is not None and c.stay.firing == fire.id]


def _takes(other: Firing, thing: str) -> bool:
    return other.id != thing and other.off is None and not other.closed


def _taken(chosen: list[Charge], thing: str, to: str) -> list[str]:
    """The codes of those whose place is held by another crucible in the other firing."""
    state = current_bench().state
    there = occupied(state, to)
    found = []
    for one in chosen:
        placed = state.slot(one.id, "placed", thing).body
        where = (placed.tier, placed.row, placed.column, placed.clock) if placed is not None else None
        if where is not None and there.get(where, one.id) != one.id:
            found.append(code_text(one.crucible_code))
    return found


def _moved(thing: str, from_firing: str, to: str) -> Entry:
    placed = current_bench().state.slot(thing, "placed", from_firing).body
    data: dict[str, Any] = {"firing": to}
    if placed is not None:
        data |= {"tier": placed.tier, "row": placed.row, "column": placed.column, "clock": placed.clock}
    return Entry("placed", thing, data, also={"firing": to})


@blueprint.route("/firing/<thing>/close", methods=["GET", "POST"])
def close(thing: str) -> Response:
    """Close a firing: only once the checks after it are ticked."""
    fire = firing_or_404(thing)
    findings = against_closing(fire)
    form = read_form() if request.method == "POST" else blank()
    if form.posted:
        if not may_record(form, findings, ""):
            form.refuse(_("Not closed: see below."))
        outcome = fire.off.reason if fire.off else "called-off"
        data = {"outcome": outcome, **read_named(form, CLOSE, "why")}
        if form.ok and record("closed", thing, data, form=form, say=_("Firing closed")):
            return go("firing.show", thing=thing)
    return page("firing/close.html", form=form, fire=fire, findings=findings, blocked=bool(stops(findings)))


def against_closing(fire: Firing) -> list[Any]:
    """What stands against closing a firing: it burns, or the looks after it are not all answered in their time."""
    here = current_bench()
    known = (facts(here.state, fire.id) or {}) | after_looks(here.state, fire.id, here.library)
    missing = tuple(one.says for one in still_open(listed(here.state, here.library, AFTER, fire.id), "close"))
    because = {"after-checks": missing}
    found = against(CLOSE, HOUSE.look({fire.id: known}, fire.id, {}), _)
    return [reason(one.gate.rule, one.say, "fire", because=because.get(one.gate.rule, ())) for one in found]
