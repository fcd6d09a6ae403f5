"""The firings, and the one that burns: its reading, its curve, its soak, who is in it, and what is wrong with it."""

from flask import Blueprint, Response

from bench.records.moments import to_ms
from bench.records.state import State
from bench.screens.furnace.firing_view import (
    Inside,
    drawn,
    held_by_readings,
    holding,
    inside,
    now,
    say_curve,
    say_stretch,
    soak_ahead,
)
from bench.screens.furnace.load_air import summed
from bench.screens.furnace.outlook import outlook
from bench.screens.furnace.placing import way_to_place
from bench.screens.furnace.put_right import ways_on
from bench.screens.kit.cautioning import cautions
from bench.screens.kit.checking import Check, checks, stopped, tally, unanswered
from bench.screens.kit.found import firing_or_404
from bench.screens.kit.record_view import chosen_words
from bench.steps.note import WHATS
from bench.steps.sorts import FIRING_WORDS, SWITCHED_ON
from bench.web.current import current_bench
from bench.web.page import page
from bench.web.paging import A_PAGE, paged
from bench.web.words import _
from bench.workshop.alarms import alarms, next_due
from bench.workshop.checked import probe_due
from bench.workshop.flags import Flag, broken_with
from bench.workshop.gates import gate_out, stops
from bench.workshop.light_gate import gate_light
from bench.workshop.load_gas import load_gas
from bench.workshop.mixups import mixups
from bench.workshop.neighbours import bad_neighbours
from bench.workshop.schedules import check_schedule
from bench.workshop.snapshot import AFTER
from bench.workshop.soaking import Soaking, soaking
from bench.workshop.stretches import air_to_change, stretch_now
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import Firing, firing
from bench.workshop.times_amiss import amiss_in
from bench.workshop.watching import gate_fire, watch_of

blueprint = Blueprint("firing", __name__)

PHASES = {
    "before-lighting": _("Before lighting"),
    "firing": _("While firing"),
    "before-opening": _("Before opening"),
    "after-shutdown": _("After the firing"),
}
BEFORE_ON = _("Before switching on")
STATES = {name: _(words) for name, words in FIRING_WORDS.items()} | {"after-checks": _(FIRING_WORDS["off"])}
NOTES = {
    "flame": (
        ("clear", _("Clear"), "port-clear"),
        ("port", _("At port"), "port-flame"),
        ("sooty", _("Sooty"), "port-soot"),
        ("lost", _("Lost"), "refused"),
    ),
    "lid": (("closed", _("Closed"), "lid"), ("ajar", _("Ajar"), "ajar")),
    "wind": (("still", _("Still"), None), ("steady", _("Steady"), None), ("gusty", _("Gusty"), None)),
    "burner-change": (
        ("turned up", _("Turned up"), None),
        ("turned down", _("Turned down"), None),
        ("other burner", _("Other burner"), None),
    ),
    "air": (
        ("reducing", _("Reducing"), None),
        ("airless", _("Shut in"), None),
        ("neutral", _("Neutral"), None),
        ("oxidising", _("Air let in"), None),
    ),
    "gas-change": (("new bottle", _("New bottle"), None), ("frost", _("Frost on it"), None)),
    "power": (("failed", _("Power failed"), None), ("back", _("Power is back"), None)),
    "noise": (("roar", _("Roar"), None), ("pop", _("Pop"), None), ("hiss", _("Hiss"), None)),
    "smell": (("gas", _("Gas"), None), ("sharp", _("Sharp"), None), ("none", _("No smell"), None)),
    "co": (("alarm", _("CO alarm"), "over"), ("0", _("CO: 0 ppm"), None)),
}
NOTE_WORDS = {one.value: _(one.words) for one in WHATS} | {"burner-change": _("Burner: the forecast starts again")}
NOTE_SAID = {
    (what, value): _("{what}: {words}", what=NOTE_WORDS[what], words=words)
    for what in NOTES
    for value, words, _glyph in NOTES[what]
}
"""A note in words, by what it is of and its value."""
AIR_WORDS = {
    "oxidising": _("Let air in now: this segment is oxidising."),
    "reducing": _("Make the fire reducing now, as planned."),
    "airless": _("Shut the air out now, as planned."),
    "neutral": _("Make the fire neutral now, as planned."),
}
ONLY = {"gas": ("power",), "electric": ("flame", "burner-change", "gas-change")}
"""What is not noted at a furnace of this fuel."""


@blueprint.get("/firings")
def home() -> Response:
    """All firings, the newest first."""
    state = current_bench().state
    part = paged(state.things("firing")[::-1], A_PAGE // 2)
    found = [firing(state, t) for t in part.found]
    return page("firing/home.html", firings=[f for f in found if f is not None], part=part, said=_said)


def _said(fire: Firing) -> str:
    """How a firing stands, and why its fire is off."""
    said = _stands(fire)
    return f"{said}: {_why_off(fire)}" if fire.off is not None else said


def _stands(fire: Firing) -> str:
    """How a firing stands; an electric furnace is switched on and not lit."""
    return _(SWITCHED_ON) if fire.state == "lit" and fire.fuel == "electric" else STATES[fire.state]


def phase_words(phase: str, fuel: str) -> str:
    """The name of a checklist at a furnace of this fuel."""
    return BEFORE_ON if phase == "before-lighting" and fuel == "electric" else PHASES[phase]


def _why_off(fire: Firing) -> str:
    return chosen_words("reason", "fire.off", fire.off.reason)


@blueprint.get("/firing/<thing>")
def show(thing: str) -> Response:
    """The firing now."""
    fire = firing_or_404(thing)
    here = current_bench()
    state, library = here.state, here.library
    fuel = fire.fuel
    lists = {phase: checks(state, library, phase, thing, now()) for phase in PHASES}
    findings = gate_light(state, thing, library) if fire.lit_at is None and not fire.closed else []
    ways = ways_on(fire, findings)
    soak, heading = soaking(state, fire), outlook(fire, NOTE_SAID)
    ahead = soak_ahead(fire, soak)
    due = next_due(fire)
    stretch = state.memoize(("stretch", thing), lambda: stretch_now(firing(state, thing) or fire))
    load = inside(fire)
    gas = load_gas(state, fire.charges, library)
    return page(
        "firing/show.html",
        fire=fire,
        said=_stands(fire) if fire.off is None else _why_off(fire),
        small=drawn(fire, "phone", soak, ahead),
        large=drawn(fire, "wide", soak, ahead),
        words=say_curve(fire, soak),
        outlook=heading,
        probe_overdue=probe_due(state, fire.plan.furnace, now()) if fire.burning else None,
        soak=soak,
        soak_ends=to_ms(soak.ends) if soak.ends else None,
        holding=holding(fire, soak),
        unproved=held_by_readings(soak),
        due=to_ms(due) if due else None,
        stretch=say_stretch(fire, stretch) if stretch is not None else None,
        change_air=air_to_change(state, fire, stretch) if stretch is not None else None,
        airs=AIR_WORDS,
        inside=load,
        broken=broken_in(state, fire),
        amiss=amiss_in(state, fire.id),
        untold=any(one.untold for one in load),
        unconfirmed=any(one.unconfirmed for one in load),
        alarms=alarms(state, fire, now(), library),
        lists={phase: (phase_words(phase, fuel), tally(items), stopped(items)) for phase, items in lists.items()},
        following=next_key(fire, load, soak) if fire.lit_at is not None and not fire.closed else None,
        findings=findings,
        ways=ways,
        empty=any(one.rule == "nothing-placed" for one in findings),
        placing=way_to_place(state, fire) or f"/firing/{thing}/map",
        gas_fire=fuel == "gas",
        blocked=bool(stops(findings)),
        advice=planned_advice(fire),
        in_fire=gate_fire(state, thing, library),
        watch=watch_of(state, thing),
        mixed_up=len(mixups(state, thing)) if fire.off is not None else 0,
        notes=[(what, NOTE_WORDS[what], NOTES[what]) for what in NOTES if what not in ONLY.get(fuel, ())],
        noted={r.body.what: r.body.value for r in state.by_time(thing, "noted")},
        gas=gas,
        gas_working=summed(state, fire, gas),
        foot=cautions("light" if fire.lit_at is None else "fire" if fire.burning else "open", [], fuel),
    )


def next_key(fire: Firing, load: list[Inside], soak: Soaking) -> tuple[str, str, str]:
    """The step that comes next in a lit firing: words, address, glyph. At its planned end, off is recorded there."""
    home = f"/firing/{fire.id}"
    if fire.burning:
        ends = (_("Record fire off"), f"{home}/off", "flame")
        over = soak.done or (soak.ends is not None and soak.ends <= now())
        return ends if over else (_("Reading"), f"{home}/reading", "probe")
    if _due_after(fire):
        return (_("Checks after the fire"), f"{home}/checks/{AFTER}?one=1", "flame")
    left = [one.charge for one in load if not one.out]
    if not left and any(one.unconfirmed for one in load):
        return (_("Check by scan"), f"{home}/checked", "tagscan")
    if not left:
        return (_("Close firing"), f"{home}/close", "done")
    if stops(gate_out(current_bench().state, left[0], current_bench().library)):
        return (_("Reading"), f"{home}/reading", "probe")
    return (_("Unload"), f"{home}/out", "outof")


def _due_after(fire: Firing) -> list[Check]:
    """The checks after the fire that can be answered by now."""
    here = current_bench()
    found = checks(here.state, here.library, AFTER, fire.id, now())
    return [*unanswered(found), *stopped(found)]


def broken_in(state: State, fire: Firing) -> list[Flag]:
    """What was done against a rule with the charges of this firing."""
    views = [charge(state, one) for one in fire.charges]
    return [flag for view in views if view is not None for flag in broken_with(state, view, fire.id)]


def planned_advice(fire: Firing) -> list[object]:
    """What to mind of the schedule and of who stands beside whom, while both can still be changed."""
    if fire.lit_at is not None:
        return []
    state, library = current_bench().state, current_bench().library
    found = check_schedule(fire.plan.segments, fire.furnace, fire.charges, state, library)
    return [*found, *bad_neighbours(state, fire, library)]
