"""What a burning fire is climbing to, and since when: the target that its standstill and its forecast are judged by."""

from dataclasses import dataclass

from bench.workshop.stretches import stretch_now, stretches
from bench.workshop.things.firings import Firing


@dataclass(frozen=True)
class WeighTarget:
    """The temperature that the plan wants next, in °C; `since_min` is when that climb began, None: at lighting."""

    to_c: float
    since_min: float | None


def aim_of(fire: Firing) -> WeighTarget | None:
    """The aim of a climb; None where the fire does not burn, holds as planned, or is to fall.

    Segments that follow each other upwards without a hold are one climb. After a hold a new one begins.
    """
    now = stretch_now(fire)
    if now is None or now.falls or now.there_min is not None:
        return None
    segments = fire.plan.segments
    last = first = now.number - 1
    while segments[last].hold_min <= 0 and last + 1 < len(segments) and segments[last + 1].to_c > segments[last].to_c:
        last += 1
    while first > 0 and segments[first - 1].hold_min <= 0:
        first -= 1
    return WeighTarget(segments[last].to_c, stretches(fire)[first].since_min if first > 0 else None)
