"""Points for the firing curve: a plan's stretches laid out in time, and readings thinned for drawing."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from bench.records.kinds import Segment
from bench.records.moments import to_ms
from bench.workshop.things.firings import Firing

MINUTE_MS = 60_000
MOST_POINTS = 360
MIDDLING_C_PER_H = 300.0
"""A stretch without a rate is drawn as this climb, a middling one in common practice."""

Points = list[tuple[float, float]]
Table = NDArray[np.float64]


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


def thinned(points: Sequence[tuple[float, float]] | Table, most: int = MOST_POINTS) -> Points:
    """A curve of about `most` points: of each stretch its lowest and highest reading stay, so no peak is lost."""
    table = np.asarray(points, dtype=float).reshape(-1, 2)
    kept = np.arange(len(table))
    if len(table) > most:
        width = -(-len(table) // (most // 2))
        c = np.append(table[:, 1], np.full(-len(table) % width, table[-1, 1])).reshape(-1, width)
        starts = np.arange(0, len(table), width)
        ends = [starts + c.argmin(axis=1), starts + c.argmax(axis=1), [len(table) - 1]]
        kept = np.unique(np.minimum(np.concatenate(ends), len(table) - 1))
    return [(at, c) for at, c in table[kept].tolist()]


def read_points(fire: Firing) -> Table:
    """The readings of a firing as points (milliseconds, °C)."""
    start = fire.lit_at or (fire.readings[0].when if fire.readings else None)
    if start is None:
        return np.empty((0, 2))
    return np.column_stack([np.round(to_ms(start) + fire.curve.minutes * MINUTE_MS), fire.curve.c])
