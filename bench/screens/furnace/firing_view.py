"""What every firing screen shares: the firing of an address, its curve as drawn, its outlook, and who is in it."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from bench.records.moments import to_ms
from bench.screens.furnace.curves import Points, planned_points, read_points, thinned
from bench.screens.kit.thing_label import ThingLabel, thing_label
from bench.web.current import current_bench
from bench.web.drawing import Curve, Rule, curve, heat_rule
from bench.web.words import _
from bench.workshop.heat import Heat, heats
from bench.workshop.load_gas import load_gas
from bench.workshop.soaking import Soaking, soaking
from bench.workshop.stretches import Stretch
from bench.workshop.things.charges import Charge, charge
from bench.workshop.things.firings import Firing, firing
from bench.workshop.things.residences import Residence

AIR_SAID = {
    "oxidising": _("oxidising"),
    "neutral": _("neutral"),
    "reducing": _("reducing"),
    "airless": _("airless"),
}
LATE_GAS_C = 700.0
"""A carbonate that is done below this holds nothing back later: a charge lags its furnace by less than the rest."""


def now() -> datetime:
    """The moment now, in UTC."""
    return datetime.fromtimestamp(current_bench().now_ms() / 1000, UTC)


def zone_of(fire: Firing) -> int:
    """Minutes ahead of UTC where and when it was lit: a summer's fire keeps its clock in winter. Unlit: as of now."""
    lit = current_bench().state.slot(fire.id, "lit").record
    return int(lit.tz_min) if lit is not None else current_bench().zone_min()


def drawn(fire: Firing, look: str, soak: Soaking, ahead: Points) -> Curve:
    """The curve of a firing against its plan, with where it is heading."""
    start = to_ms(fire.lit_at) if fire.lit_at is not None else current_bench().now_ms()
    read = current_bench().state.memoize(
        ("drawn", fire.id), lambda: _thin(firing(current_bench().state, fire.id) or fire)
    )
    end = soak.ends or soak.over
    bracket = (float(to_ms(soak.start)), float(to_ms(end))) if soak.start and end else None
    zone = zone_of(fire)
    # What goes on cooling for a day after the fire is told by the readings, and would flatten the picture.
    last = _drawn_until(fire, start)
    shown = [p for p in read if last is None or p[0] <= last]
    plan = planned_points(fire.plan.segments, start)
    return curve(shown, plan, look=look, zone_min=zone, soak=bracket, forecast=ahead)


def _thin(fire: Firing) -> Points:
    return thinned(read_points(fire))


def _drawn_until(fire: Firing, start_ms: float) -> float | None:
    if fire.off_at is None:
        return None
    planned = planned_points(fire.plan.segments, start_ms)[-1][0]
    return max(planned, to_ms(fire.off_at) + 6 * 3_600_000.0)


def say_curve(fire: Firing, soak: Soaking) -> str:
    """The curve for those who cannot see it."""
    said = [_("Planned: {c:g} °C, held {m:g} min.", c=fire.soak.to_c, m=fire.soak.hold_min)]
    if fire.readings:
        hottest = fire.curve.c.max()
        said.append(_("Read: {c:.0f} °C at {at}.", c=fire.readings[-1].body.c, at=_clock(fire.readings[-1].local)))
        said.append(_("Hottest {c:.0f} °C.", c=hottest))
    if soak.start is not None:
        said.append(_("In its soak for {m:.0f} min.", m=soak.held_min))
    return _("Firing curve.") + " " + " ".join(said)


def _clock(moment: datetime) -> str:
    return moment.strftime("%H:%M")


def gasses_late(fire: Firing) -> bool:
    """Whether the load may give off carbon dioxide in the hot half of its climb; true where not all of it is known.

    Of an empty furnace too: of what is still to be placed nothing is known.
    """
    gas = load_gas(current_bench().state, fire.charges, current_bench().library)
    _low, high = gas.windows.get("CO2", (None, 0.0))
    return not fire.charges or bool(gas.not_reckoned) or high is None or high > LATE_GAS_C


def soak_ahead(fire: Firing, soak: Soaking) -> Points:
    """In the soak the dashes lie flat to its end."""
    last = fire.last_reading
    if not soak.holds or soak.ends is None or last is None:
        return []
    return [(float(to_ms(last.when)), last.body.c), (float(to_ms(soak.ends)), soak.to_c)]


def held_by_readings(soak: Soaking) -> str:
    """How much of the planned hold was read; empty where all of it was, or none is planned."""
    if soak.held_min >= soak.hold_min:
        return ""
    return _("At heat by readings: {held:.0f} of {hold:g} min.", held=soak.held_min, hold=soak.hold_min)


def holding(fire: Firing, soak: Soaking) -> str:
    """The soak in one sentence: what it held between, and how its end stands to the plan."""
    if soak.start is None or soak.low_c is None or soak.high_c is None:
        return ""
    said = _("{low:.0f} to {high:.0f} °C for {span}", low=soak.low_c, high=soak.high_c, span=span(soak.held_min))
    if soak.done:
        return said + _(": the soak is over. Let it cool as planned.")
    planned = planned_soak_end(fire)
    if soak.ends is None or planned is None:
        return said + "."
    late = (soak.ends - planned).total_seconds() / 60
    if abs(late) < 1:
        return said + _(": the soak will end as planned.")
    if late > 0:
        return said + _(": the soak will end {n} later than planned.", n=span(late))
    return said + _(": the soak will end {n} earlier than planned.", n=span(-late))


def say_stretch(fire: Firing, one: Stretch) -> str | None:
    """The stretch that a fire is in, in one line; None where there is but one and nothing is said of its air."""
    segment = one.segment
    if len(fire.plan.segments) < 2 and segment.atmosphere == "unknown":
        return None
    said = _("Segment {n} of {all}:", n=one.number, all=len(fire.plan.segments)) + " "
    said += _("down to {c:g} °C", c=segment.to_c) if one.falls else _("up to {c:g} °C", c=segment.to_c)
    if segment.hold_min > 0 and one.there_min is not None:
        said += _(", held {held} of {span}", held=span(one.held_min), span=span(segment.hold_min))
    elif segment.hold_min > 0:
        said += _(", then held {span}", span=span(segment.hold_min))
    return said + ("" if segment.atmosphere == "unknown" else ", " + AIR_SAID[segment.atmosphere]) + "."


def planned_soak_end(fire: Firing) -> datetime | None:
    """When the plan has the soak end, by its rates; None where a rate of the climb is not planned."""
    if fire.lit_at is None:
        return None
    segments = fire.plan.segments
    upto = segments[: segments.index(fire.soak) + 1]
    if any(s.rate_c_per_h is None for s in upto):
        return None
    before, minutes = 20.0, 0.0
    for one in upto:
        minutes += abs(one.to_c - before) / (one.rate_c_per_h or 1.0) * 60 + one.hold_min
        before = one.to_c
    return fire.lit_at + timedelta(minutes=minutes)


def span(minutes: float) -> str:
    """A length of time: minutes, or hours and minutes."""
    whole = round(minutes)
    return _("{h} h {m:02d}", h=whole // 60, m=whole % 60) if whole >= 60 else _("{m} min", m=whole)


@dataclass(frozen=True)
class Inside:
    """One crucible of the load: where it stands, its minutes at heat, and its rule. `path` is what is next for it."""

    what: ThingLabel
    charge: str
    minutes: float
    out: bool
    said: str
    rule: Rule
    heat: Heat | None
    untold: bool
    path: str
    unconfirmed: bool = False


def inside(fire: Firing) -> list[Inside]:
    """Every crucible of the load, those still in first."""
    here = current_bench()
    state = here.state
    told = {one.charge: one for one in heats(state, fire, now())}
    longest = max(60.0, fire.soak.hold_min * 1.5)
    found = []
    for thing in fire.charges:
        view = charge(state, thing)
        stay = stay_in(view, fire)
        if view is None or stay is None:
            continue
        one = told.get(thing)
        minutes = one.above_min if one is not None else 0.0
        rule = heat_rule(minutes, fire.soak.hold_min, longest)
        out = stay.came_out is not None
        untold = out and stay.rest_place is None and not _own_out(thing, fire)
        path = f"/firing/{fire.id}/out?charge={thing}" if fire.burning and not out else f"/charge/{thing}/cool"
        path = path if stay.went_in is not None else f"/charge/{thing}/place?firing={fire.id}"
        path = path if view.state != "opened" else f"/charge/{thing}"
        name = thing_label(thing)
        found.append(
            Inside(name, thing, minutes, out, _stands(stay, fire, minutes), rule, one, untold, path, stay.unconfirmed)
        )
    return sorted(found, key=lambda each: each.out)


def stay_in(view: Charge | None, fire: Firing) -> Residence | None:
    """A charge's stay in this firing, or None."""
    return next((s for s in view.residences if s.firing == fire.id), None) if view is not None else None


def _own_out(thing: str, fire: Firing) -> bool:
    return any(
        r.body.firing == fire.id and r.body.charge == thing for r in current_bench().state.rows(thing, "came.out")
    )


def _stands(stay: Residence, fire: Firing, minutes: float) -> str:
    if stay.came_out is not None:
        at = to_ms(stay.came_out)
        zone = zone_of(fire)
        clock = _clock(datetime.fromtimestamp(at / 1000, UTC) + timedelta(minutes=zone))
        if stay.unconfirmed:
            return _("out {clock}, tag not checked yet", clock=clock)
        return _("out {clock}, {place}", clock=clock, place=stay.rest_place or _("place not recorded"))
    if stay.went_in is None:
        return _("placed")
    soak = soaking(current_bench().state, fire)
    left = soak.needs_min - minutes
    if not fire.burning or soak.start is None or left <= 0.5 or fire.last_reading is None:
        return _("in")
    if soak.ends is None:
        return _("in, {span} to go", span=span(left))
    # What was in all the time has the end that the soak's own clock gives; what came later, its own minutes.
    ends = soak.ends if stay.went_in <= soak.start else fire.last_reading.when + timedelta(minutes=left)
    return _("in, soak ends {clock}", clock=_clock(ends.astimezone(UTC) + timedelta(minutes=zone_of(fire))))
