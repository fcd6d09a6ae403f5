"""Which stretch of its schedule a fire is in, by its readings: how long it held, and which air is to be in it."""

from dataclasses import dataclass
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from bench.records.kinds import Segment
from bench.records.state import State
from bench.science.curve import Curve
from bench.science.heat_work import min_above, shares_above
from bench.workshop.things.firings import BAND_C, Firing

START_C = 20.0


@dataclass(frozen=True)
class Stretch:
    """One stretch as it stands. `number` counts from 1, minutes since lighting; None where it has not come to that.

    `since_min` is when the stretch before it was done, `there_min` the first reading in its band, `held_min` what was
    held in the band since then, `done_min` when its hold was over.
    """

    number: int
    segment: Segment
    falls: bool
    since_min: float | None
    there_min: float | None
    held_min: float
    done_min: float | None


def stretches(fire: Firing) -> list[Stretch]:
    """Every stretch of a fire's schedule. One that the fire has climbed past unheld counts as done."""
    found: list[Stretch] = []
    before_c, since = START_C, 0.0 if fire.lit_at is not None else None
    segments = fire.plan.segments
    for n, segment in enumerate(segments):
        falls = segment.to_c < before_c
        following = segments[n + 1] if n + 1 < len(segments) else None
        one = _stretch(n + 1, segment, falls, following, fire.curve, since)
        found.append(one)
        before_c, since = segment.to_c, one.done_min
    return found


def stretch_now(fire: Firing) -> Stretch | None:
    """The stretch that a burning fire is in; None before it is lit, once it is out, and after the last."""
    if not fire.burning:
        return None
    return next((one for one in stretches(fire) if one.done_min is None), None)


def _stretch(
    number: int, segment: Segment, falls: bool, following: Segment | None, curve: Curve, since: float | None
) -> Stretch:
    nothing = Stretch(number, segment, falls, since, None, 0.0, None)
    if since is None:
        return nothing
    part = curve.between(since, float("inf"))
    low, high = segment.to_c - BAND_C, segment.to_c + BAND_C
    there = _first(part.c <= high if falls else part.c >= low)
    if there is None:
        return nothing
    inside, climbed = part[there:], None
    if following is not None and not falls and following.to_c > segment.to_c:
        past = _first(inside.c >= following.to_c - BAND_C)
        climbed = inside[past][0] if past is not None else None
    held = min_above(inside, low) - (min_above(inside, high) if falls else 0.0)
    done = inside[0][0] if segment.hold_min <= 0 else _held_at(inside, low, high, falls, segment.hold_min)
    ends = [one for one in (done, climbed) if one is not None]
    return Stretch(number, segment, falls, since, inside[0][0], held, min(ends, default=None))


def _first(marks: NDArray[np.bool_]) -> int | None:
    """The place of the first that is true."""
    return int(marks.argmax()) if marks.any() else None


def _held_at(inside: Curve, low: float, high: float, falls: bool, hold_min: float) -> float | None:
    """The minute of the reading by which a hold was over; None while it is not."""
    shares = shares_above(inside, low) - (shares_above(inside, high) if falls else 0.0)
    over = _first(np.cumsum(shares * np.diff(inside.minutes)) >= hold_min)
    return inside[over + 1][0] if over is not None else None


def air_to_change(state: State, fire: Firing, now: Stretch) -> str | None:
    """The air that a stretch asks for where it is another than before it, until it is noted; else None.

    A note counts from the moment when the stretch before was done.
    """
    wanted = now.segment.atmosphere
    before = [s.atmosphere for s in fire.plan.segments[: now.number - 1] if s.atmosphere != "unknown"]
    if wanted == "unknown" or not before or before[-1] == wanted or fire.lit_at is None or now.since_min is None:
        return None
    noted = [r for r in state.by_time(fire.id, "noted") if r.body.what == "air" and _min(fire, r.when) >= now.since_min]
    return None if noted and noted[-1].body.value == wanted else wanted


def _min(fire: Firing, when: datetime) -> float:
    return (when - (fire.lit_at or when)).total_seconds() / 60
