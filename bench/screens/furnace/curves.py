"""Points for the firing curve: a plan's stretches laid out in time, and readings thinned for drawing."""

from collections.abc import Sequence

from bench.workshop.kinds import Segment

MINUTE_MS = 60_000
MOST_POINTS = 360
MIDDLING_C_PER_H = 300.0
"""A stretch without a rate is drawn as this climb, a middling one in common practice."""

Points = list[tuple[float, float]]


def planned_points(segments: Sequence[Segment], start_ms: float, start_c: float = 20.0) -> Points:
    """The plan of a firing as points (milliseconds, °C) from the moment of lighting."""
    at, c = start_ms, start_c
    points = [(at, c)]
    for segment in segments:
        rate = segment.rate_c_per_h or MIDDLING_C_PER_H
        at += abs(segment.to_c - c) / rate * 60 * MINUTE_MS
        c = segment.to_c
        points.append((at, c))
        if segment.hold_min:
            at += segment.hold_min * MINUTE_MS
            points.append((at, c))
    return points


def thinned(points: Points, most: int = MOST_POINTS) -> Points:
    """A curve of about `most` points: of each stretch its lowest and highest reading stay, so no peak is lost."""
    if len(points) <= most:
        return points
    width = -(-len(points) // (most // 2))
    kept = []
    for at in range(0, len(points), width):
        part = points[at : at + width]
        kept += sorted({min(part, key=lambda p: p[1]), max(part, key=lambda p: p[1])})
    return [*kept, points[-1]] if kept[-1] != points[-1] else kept
