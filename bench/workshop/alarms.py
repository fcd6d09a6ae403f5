"""What is wrong with a fire now, as its readings and notes tell: too hot, falling, too fast, not read, flame or air."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from bench.reckoning.rules import judge
from bench.records.state import State
from bench.reference import Library
from bench.reference.surroundings import Ware
from bench.science.leaps import leaps_after
from bench.science.slope_line import line
from bench.translation import _
from bench.workshop import conditions
from bench.workshop.heat import curve_of
from bench.workshop.soaking import Soaking, soaking
from bench.workshop.things.charges import charge
from bench.workshop.things.crucibles import Crucible, crucible
from bench.workshop.things.firings import BAND_C, Firing

STEP_MIN = {"lit": 10.0, "soaking": 5.0}
"""Minutes between readings: while it climbs, and while it holds (common practice)."""
LATE = 1.5
OVER_C = 20.0
"""So far over the plan's peak is an alarm (our own default)."""
TENFOLD, NEAR = 10.0, 0.1
LEAPS_C_MIN = 50.0
"""No furnace of this bench climbs or falls so fast (our own default)."""
BY_NOTES = ("flame-lost", "co-reading", "co-rising", "unattended")
HALVED = ("glazed-porcelain", "unglazed-porcelain")
HALVED_C = ((20.0, 300.0), (500.0, 650.0))
"""Porcelain is heated at half its ramp through these (common practice)."""


@dataclass(frozen=True)
class Alarm:
    """One thing that is wrong now. `grave` ones ask for an act at once."""

    rule: str
    say: str
    grave: bool = False


def alarms(state: State, fire: Firing, now: datetime, library: Library) -> list[Alarm]:
    """What is wrong with a burning fire now, the grave first; nothing once it is out."""
    if not fire.burning:
        return []
    found = [*_by_notes(state, fire, library), *_by_slip(fire), *_by_heat(state, fire, library), *_by_time(fire, now)]
    return sorted(found, key=lambda one: not one.grave)


def _by_notes(state: State, fire: Firing, library: Library) -> Iterator[Alarm]:
    known = conditions.of_firing(state, fire.id, library)
    told: dict[str, object] = {name: known[name] for name in ("flame", "co_ppm", "co_alarm", "leave") if name in known}
    found = [one for one in judge("fire", [], told, library) if one.rule in BY_NOTES and one.sure]
    high = any(one.rule == "co-reading" for one in found)
    for one in found:
        if not (high and one.rule == "co-rising"):
            yield Alarm(one.rule, one.say, one.effect != "flag")


def _by_slip(fire: Firing) -> Iterator[Alarm]:
    """A newest reading to which no furnace comes so soon; ten times the one before, or a tenth, is a slipped point."""
    if len(fire.readings) < 2:
        return
    older, newer = fire.readings[-2:]
    before, c = older.body.c, newer.body.c
    within_min = (newer.when - older.when).total_seconds() / 60
    slipped = _slipped(c, before, within_min)
    if slipped:
        yield Alarm("slipped", slipped, grave=True)
    elif leaps_after(fire.curve[:-1], fire.curve[-1][0], c, fire.fuel):
        say = _(
            "{c:.0f} °C came {n:.0f} min after {before:.0f} °C. Read the probe again.",
            c=c,
            n=max(within_min, 1.0),
            before=before,
        )
        yield Alarm("leaps", say, grave=True)


def _slipped(c: float, before: float, within_min: float) -> str:
    """What is said of a reading whose point slipped; empty where none did."""
    if before <= 0 or abs(c - before) <= LEAPS_C_MIN * within_min:
        return ""
    for factor, words in ((TENFOLD, _("ten times")), (1 / TENFOLD, _("a tenth of"))):
        if abs(c / before / factor - 1) <= NEAR:
            return _(
                "{c:.0f} °C is {words} the {before:.0f} °C before. Typed wrong? Undo that reading.",
                c=c,
                words=words,
                before=before,
            )
    return ""


def _by_heat(state: State, fire: Firing, library: Library) -> Iterator[Alarm]:
    last = fire.last_reading
    if last is None:
        return
    c = last.body.c
    if c > fire.peak_c + OVER_C:
        yield Alarm("over-plan", _("{c:.0f} °C over the plan: turn it down.", c=c - fire.peak_c), grave=True)
    limit = limit_c(fire)
    if limit is not None and c > limit:
        yield Alarm(
            "over-furnace",
            _("{c:.0f} °C: this furnace goes to {limit:g} °C. Turn it down.", c=c, limit=limit),
            grave=True,
        )
    vessels = list(vessels_in(state, fire))
    for vessel in vessels:
        if vessel.rated_c is not None and c > vessel.rated_c:
            code = _read_out(vessel.code)
            yield Alarm(
                "over-rating",
                _("Over the rating of {code}: {rated_c:g} °C.", code=code, rated_c=vessel.rated_c),
                grave=True,
            )
    yield from _by_slope(fire, soaking(state, fire), vessels, library)


def limit_c(fire: Firing) -> float | None:
    """The hottest that a furnace is made for; None where nothing is known of it."""
    furnace = fire.furnace
    limits = (furnace.ceiling_c, furnace.lining_rated_c) if furnace is not None else ()
    return min((one for one in limits if one is not None), default=None)


def vessels_in(state: State, fire: Firing) -> Iterator[Crucible]:
    """The crucibles of a load that have not come out."""
    for thing in fire.charges:
        view = charge(state, thing)
        stay = next((s for s in view.residences if s.firing == fire.id), None) if view else None
        vessel = crucible(state, view.crucible) if view is not None else None
        if stay is not None and stay.came_out is None and vessel is not None:
            yield vessel


def _by_slope(fire: Firing, soak: Soaking, vessels: list[Crucible], library: Library) -> Iterator[Alarm]:
    curve = curve_of(fire)
    newest = line(curve, len(curve) - 1) if curve else None
    if soak.start is not None:
        if not soak.holds and not soak.done:
            say = _(
                "Below the soak: {curve:.0f} °C, under {to_c:g}. The soak clock is stopped.",
                curve=curve[-1][1],
                to_c=soak.to_c - BAND_C,
            )
            yield Alarm("falling", say)
        return
    if newest is None:
        return
    if newest.falls:
        yield Alarm("falling", _("It is falling by {rate:.1f} °C a minute.", rate=-newest.slope_c_min))
    for ware in {vessel.added.ware: library.ware.get(vessel.added.ware) for vessel in vessels}.values():
        limit = ramp_limit(ware, curve[-1][1])
        if ware is not None and limit is not None and newest.slope_c_min - 2 * newest.slope_error > limit:
            name = ware.slug.replace("-", " ")
            say = _(
                "It climbs {slope_c_min:.1f} °C a minute; {name} takes {limit:g} at most here (from memory).",
                slope_c_min=newest.slope_c_min,
                name=name,
                limit=limit,
            )
            yield Alarm("too-fast", say)


def ramp_told(state: State, vessel: str, library: Library) -> tuple[str, float, bool] | None:
    """A crucible's ware, how fast it may be heated, and whether that is halved in places; None where not known."""
    view = crucible(state, vessel)
    ware = library.ware.get(view.added.ware) if view is not None else None
    if ware is None or ware.max_ramp_c_per_min is None:
        return None
    return ware.slug.replace("-", " "), ware.max_ramp_c_per_min, ware.slug in HALVED


def ramp_limit(ware: Ware | None, c: float) -> float | None:
    """The fastest that a ware may be heated at a temperature, in °C a minute; None where nothing is known."""
    if ware is None or ware.max_ramp_c_per_min is None:
        return None
    halved = ware.slug in HALVED and any(low <= c < high for low, high in HALVED_C)
    return ware.max_ramp_c_per_min / (2 if halved else 1)


def next_due(fire: Firing) -> datetime | None:
    """When the next reading is due; None for a fire that does not burn."""
    since = fire.last_reading.when if fire.last_reading is not None else fire.lit_at
    if not fire.burning or since is None:
        return None
    return max(since, fire.lit_at or since) + timedelta(minutes=STEP_MIN.get(fire.state, 10.0))


def overdue(fire: Firing, now: datetime) -> datetime | None:
    """When the reading was due that is missing; None while none is, by half its interval."""
    due, step = next_due(fire), STEP_MIN.get(fire.state, 10.0)
    return due if due is not None and now - due > timedelta(minutes=(LATE - 1) * step) else None


def _by_time(fire: Firing, now: datetime) -> Iterator[Alarm]:
    due, step = next_due(fire), STEP_MIN.get(fire.state, 10.0)
    if due is None:
        return
    age = step + (now - due).total_seconds() / 60
    if age > LATE * step:
        yield Alarm("no-reading", _("No reading for {age}: one is due every {step:g} min.", age=_span(age), step=step))


def _span(minutes: float) -> str:
    whole = round(minutes)
    return f"{whole // 60}\u00a0h\u00a0{whole % 60:02d}" if whole >= 60 else f"{whole}\u00a0min"


def _read_out(code: str | None) -> str:
    return f"{code[:5]}-{code[5:]}" if code else _("a crucible")
