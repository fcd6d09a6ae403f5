"""The firing curve: what was measured as a bar of iron whose top is in the fire, against what was planned."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from bench.web.drawing.scale import Scale, marks, step_for

Point = tuple[float, float]
"""(milliseconds since 1970, °C)."""

HOUR_MS = 3_600_000.0
LOOKS = {
    "phone": (360.0, 164.0, 58.0, 34.0, 36.0),
    "wide": (620.0, 392.0, 58.0, 34.0, 34.0),
    "paper": (760.0, 268.0, 58.0, 30.0, 34.0),
    "mini": (360.0, 96.0, 0.0, 8.0, 0.0),
}
"""Width, height, and the room left of, above and under the field, in px."""
RIGHT = {"phone": 10.0, "wide": 10.0, "paper": 10.0, "mini": 0.0}
GLOW = (0, 525, 600, 700, 800, 900, 1000, 1100, 1200, 1300)
"""Temperatures (°C) of the heat scale's colours. Black heat ends near 525 °C: common practice in the trade."""
BLACK_UNTIL_C = 480.0
HOUR_WIDTH = 42.0
MOST_HOURS = 48


@dataclass(frozen=True)
class Fan:
    """A band of cooling rates that is allowed: from a moment at a temperature, down to another, in °C an hour."""

    start_ms: float
    start_c: float
    slow_c_per_h: float
    fast_c_per_h: float
    to_c: float


@dataclass(frozen=True)
class Curve:
    """Paths and marks, ready for SVG. `glow` are the gradient's (share of the height, class of the colour)."""

    width: float
    height: float
    left: float
    right: float
    top: float
    base: float
    grid: list[tuple[float, str]]
    hours: list[tuple[float, str | None]]
    glow: list[tuple[float, str]]
    glow_from: float
    glow_to: float
    planned: str
    measured: str
    mass: str
    forecast: str
    fan: str
    fan_edge: str
    bracket: tuple[float, float] | None
    now: tuple[float, float] | None
    end: tuple[float, float, str] | None


def _path(points: Sequence[tuple[float, float]]) -> str:
    if len(points) < 2:
        return ""
    return "M" + " L".join(f"{x:.1f} {y:.1f}" for x, y in points)


def _glow(low: float, high: float) -> list[tuple[float, str]]:
    """The stops of the heat scale between two temperatures, as shares of the height from the bottom."""
    share = Scale(low, high, 0.0, 1.0)
    stops = [(0.0, "h000"), (share.inside(BLACK_UNTIL_C), "h000")]
    stops += [(share.at(c), f"h{c:03d}") for c in GLOW[1:] if low < c <= high]
    return stops


def _hours(x: Scale, zone_min: int, labelled: bool) -> list[tuple[float, str | None]]:
    """Ticks at the whole hours of the local clock; the labels as far apart as they need to be read."""
    shift = zone_min * 60_000.0
    span_h = (x.high - x.low) / HOUR_MS
    every = next((n for n in (1, 6, 24) if span_h / n <= MOST_HOURS), 24 * ceil(span_h / 24 / MOST_HOURS))
    hour_px = (x.end - x.start) / span_h
    step = next((n for n in (1, 2, 3, 6, 12, 24) if n * hour_px >= HOUR_WIDTH), 24)
    ticks: list[tuple[float, str | None]] = []
    room = -HOUR_WIDTH
    for mark in marks(x.low + shift, x.high + shift, HOUR_MS * every):
        hour, at = round(mark / HOUR_MS) % 24, x.at(mark - shift)
        named = labelled and hour % step == 0 and at - x.start > 12 and x.end - at > 22 and at - room >= HOUR_WIDTH - 1
        room = at if named else room
        ticks.append((at, f"{hour:02d}" if named else None))
    return _with_unit(ticks)


def _with_unit(ticks: list[tuple[float, str | None]]) -> list[tuple[float, str | None]]:
    """The last label says that these are hours."""
    last = max((n for n, (_, text) in enumerate(ticks) if text), default=None)
    return [(at, f"{text} h" if n == last else text) for n, (at, text) in enumerate(ticks)]


def _fan(fan: Fan | None, x: Scale, y: Scale) -> tuple[str, str]:
    """The allowed band as a filled path and its two edges."""
    if fan is None or fan.start_c <= fan.to_c:
        return "", ""
    start = (x.inside(fan.start_ms), y.at(fan.start_c))
    ends = []
    for rate in (fan.slow_c_per_h, fan.fast_c_per_h):
        whole_h = (fan.start_c - fan.to_c) / max(rate, 1e-6)
        shown_h = max(0.0, min(whole_h, (x.high - fan.start_ms) / HOUR_MS))
        ends.append((x.inside(fan.start_ms + shown_h * HOUR_MS), y.at(fan.start_c - rate * shown_h)))
    slow, fast = ends
    corner = [(slow[0], fast[1])] if slow[0] > fast[0] and slow[1] < fast[1] else []
    return _path([slow, start, fast, *corner]) + "z", _path([slow, start, fast])


def curve(
    readings: Sequence[Point],
    plan: Sequence[Point] = (),
    *,
    look: str = "phone",
    zone_min: int = 0,
    from_ms: float | None = None,
    to_ms: float | None = None,
    low_c: float = 0.0,
    high_c: float | None = None,
    forecast: Sequence[Point] = (),
    fan: Fan | None = None,
    soak: tuple[float, float] | None = None,
    end_ms: float | None = None,
    end_text: str = "",
) -> Curve:
    """The curve of a firing; moments in ms since 1970, temperatures in °C, hours of the clock at `zone_min`.

    `soak` is drawn as a bracket, `fan` as the allowed cooling, `forecast` as dashes from the last reading. `look` is
    `phone`, `wide`, `paper` or `mini`. Points may come unsorted; there may be none.
    """
    width, height, left, top, under = LOOKS[look]
    read, planned = sorted(readings), sorted(plan)
    moments = [ms for ms, _ in [*read, *planned, *forecast]] + list(soak or ())
    start, end = _span(moments, from_ms, to_ms)
    peak = max([c for _, c in [*read, *planned, *forecast]], default=900.0)
    high = high_c or (max(peak, low_c + 100.0) + 0.11 * max(peak - low_c, 100.0))
    x = Scale(start, end, left, width - RIGHT[look])
    y = Scale(low_c, high, height - under, top)
    line = [(x.inside(ms), y.at(c)) for ms, c in read if start <= ms <= end]
    fill, edge = _fan(fan, x, y)
    step = step_for(high - low_c, 4 if look == "phone" else 6)
    step = 300.0 if high - low_c > 700 and look != "mini" else step
    bracket = (x.inside(soak[0]), x.inside(soak[1])) if soak else None
    return Curve(
        width=width,
        height=height,
        left=left,
        right=width - RIGHT[look],
        top=top,
        base=height - under,
        grid=[(y.at(c), f"{c:.0f}") for c in marks(low_c, high, step) if low_c < c <= high] if look != "mini" else [],
        hours=_hours(x, zone_min, look != "mini"),
        glow=_glow(low_c, high),
        glow_from=height - under,
        glow_to=top,
        planned=_path([(x.inside(ms), y.at(c)) for ms, c in planned]),
        measured=_path(line),
        mass=_path([*line, (line[-1][0], height - under), (line[0][0], height - under)]) + "z" if len(line) > 1 else "",
        forecast=_path([(x.inside(ms), y.at(c)) for ms, c in forecast]),
        fan=fill,
        fan_edge=edge,
        bracket=bracket,
        now=line[-1] if line else None,
        end=None if end_ms is None else (x.inside(end_ms), y.at(read[-1][1]) if read else top, end_text),
    )


def _span(moments: Sequence[float], from_ms: float | None, to_ms: float | None) -> tuple[float, float]:
    start = from_ms if from_ms is not None else min(moments, default=0.0)
    end = to_ms if to_ms is not None else max(moments, default=start)
    return start, max(end, start + HOUR_MS / 2)
