"""What the firing screen shows: the curve, the forecast, who is in, what alarms, and how long the soak still takes."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

from bench.reckoning import reckon
from bench.science.refusal import Refusal
from bench.screens.called import Called, called
from bench.screens.drawing import Curve, Rule, curve, heat_rule
from bench.screens.joined import bench
from bench.screens.today import planned_points
from bench.screens.words import _
from bench.workshop.moments import to_ms
from bench.workshop.records import Record
from bench.workshop.things.charges import charge
from bench.workshop.things.crucibles import crucible
from bench.workshop.things.firings import Firing, readings_of
from bench.workshop.things.firings import curve as readings

LEAST_FORECAST = 3
STEP_MIN = {"lit": 10.0, "soaking": 5.0}
"""Minutes between readings that common practice asks for: while it climbs, and while it holds."""
OVER_C = 20.0
MOST_POINTS = 400


@dataclass(frozen=True)
class Inside:
    """One crucible of the load: in since when, for how long at heat, and its rule."""

    what: Called
    charge: str
    minutes: float
    out: bool
    said: str
    rule: Rule


def thinned(points: list[tuple[float, float]], most: int = MOST_POINTS) -> list[tuple[float, float]]:
    """A curve of about `most` points: of each stretch its lowest and highest reading stay, so no peak is lost."""
    if len(points) <= most:
        return points
    width = -(-len(points) // (most // 2))
    kept = []
    for at in range(0, len(points), width):
        part = points[at : at + width]
        kept += sorted({min(part, key=lambda p: p[1]), max(part, key=lambda p: p[1])})
    return [*kept, points[-1]] if kept[-1] != points[-1] else kept


def drawn(fire: Firing, look: str) -> Curve:
    """The curve of a firing against its plan."""
    start = to_ms(fire.lit_at) if fire.lit_at is not None else bench().now_ms()
    read = thinned([(float(to_ms(r.when)), r.body.c) for r in readings_of(bench().state, fire.id)])
    end = soak_end(fire)
    soak = (float(to_ms(fire.soak_start)), float(to_ms(end))) if fire.soak_start and end else None
    return curve(read, planned_points(fire, start), look=look, zone_min=bench().zone_min(), soak=soak)


def soak_end(fire: Firing) -> datetime | None:
    """When the soak ends: its length after the first reading in its band; None before that."""
    if fire.soak_start is None or fire.soak.hold_min <= 0:
        return None
    return fire.soak_start + timedelta(minutes=fire.soak.hold_min)


def forecast(fire: Firing) -> dict[str, Any] | None:
    """Where the curve is heading, by the slope bound and the plateau fit; None with too few readings or no fire."""
    state = bench().state
    points = readings(state, fire.id)
    if not fire.burning or fire.soak_start is not None or len(points) < LEAST_FORECAST:
        return None
    ask: dict[str, Any] = {"readings": points, "target_c": fire.soak.to_c}
    changed = _changed_min(fire)
    try:
        return reckon("forecast", ask | ({"changed_at_min": changed} if changed is not None else {}), bench().library)
    except Refusal:
        return None


def _changed_min(fire: Firing) -> float | None:
    """Minutes from lighting to the last change of the burner, from which the forecast starts anew."""
    notes = [r for r in bench().state.own(fire.id, "noted") if r.body.what == "burner-change"]
    if not notes or fire.lit_at is None:
        return None
    return max(0.0, (max(r.when for r in notes) - fire.lit_at).total_seconds() / 60)


def inside(fire: Firing) -> list[Inside]:
    """Every crucible of the load, those still in first."""
    here = bench()
    now = datetime.fromtimestamp(here.now_ms() / 1000, UTC)
    longest = max(60.0, fire.soak.hold_min * 1.5)
    found = []
    for thing in fire.charges:
        view = charge(here.state, thing)
        stay = next((s for s in view.stays if s.firing == fire.id), None) if view else None
        if view is None or stay is None:
            continue
        end = stay.came_out or fire.off_at or now
        start = max(stay.went_in, fire.soak_start) if stay.went_in and fire.soak_start else None
        minutes = max(0.0, (end - start).total_seconds() / 60) if start else 0.0
        said = (
            _("out, {place}", place=stay.rest_place or "–")
            if stay.came_out
            else _("in")
            if stay.went_in
            else _("placed")
        )
        rule = heat_rule(minutes, fire.soak.hold_min, longest)
        out = stay.came_out is not None
        found.append(Inside(called(thing, here.state, here.library), thing, minutes, out, said, rule))
    return sorted(found, key=lambda one: one.out)


def alarms(fire: Firing) -> list[str]:
    """What is wrong now: over the plan, over a crucible's rating, falling in the soak, no reading for too long."""
    found: list[str] = []
    last = fire.last_reading
    if not fire.burning:
        return found
    if last is not None:
        found += _by_reading(fire, last)
    age = _age_min(fire, last)
    step = STEP_MIN.get(fire.state, 10.0)
    if age is not None and age > 1.5 * step:
        found.append(_("No reading for {n:.0f} min: one is due every {step:g} min.", n=age, step=step))
    return found


def _by_reading(fire: Firing, last: Record) -> list[str]:
    state, c = bench().state, last.body.c
    found = []
    if c > fire.peak_c + OVER_C:
        found.append(_("{over:.0f} °C over the plan.", over=c - fire.peak_c))
    for thing in fire.charges:
        filled = state.slot(thing, "charged").body
        vessel = crucible(state, filled.crucible) if filled else None
        if vessel is not None and vessel.rated_c is not None and c > vessel.rated_c:
            found.append(
                _("Over the rating of {code}: {c:g} °C.", code=vessel.code or _("a crucible"), c=vessel.rated_c)
            )
    if fire.soak_start is not None and c < fire.soak.to_c - OVER_C:
        found.append(_("It is falling: {c:.0f} °C in a soak at {want:g} °C.", c=c, want=fire.soak.to_c))
    return found


def _age_min(fire: Firing, last: Record | None) -> float | None:
    since = last.when if last is not None else fire.lit_at
    return None if since is None else (bench().now_ms() - to_ms(since)) / 60_000
