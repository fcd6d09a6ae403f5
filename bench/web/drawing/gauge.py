"""The gauge: a graduation with what is allowed as a band, and what was measured as a needle."""

from dataclasses import dataclass

from bench.web.drawing.scale import Scale, marks, step_for

WIDTH, MARGIN = 328.0, 10.0
LABEL_GAP = 58.0
HEAD_ROOM = 8.0
MOST_TICKS = 20
BANDS_SHOWN = 8


@dataclass(frozen=True)
class Label:
    """A text under the graduation; `anchor` is SVG's: start, middle or end."""

    x: float
    text: str
    anchor: str


@dataclass(frozen=True)
class Gauge:
    """`ticks` are (x, major). `band`, `whisker` are (from x, to x). `base` is the y of the line."""

    width: float
    height: float
    base: float
    ticks: list[tuple[float, bool]]
    band: tuple[float, float]
    labels: list[Label]
    needle: float | None
    whisker: tuple[float, float] | None


def gauge(
    low: float,
    high: float,
    *,
    value: float | None = None,
    reach: tuple[float, float] | None = None,
    plus_minus: float | None = None,
    places: int = 2,
    band_words: str = "",
) -> Gauge:
    """A gauge for what is allowed from `low` to `high`, with `value` ± `plus_minus` if measured; all in one unit.

    `reach` is the whole scale; where it is not given, it is eight bands wide around the middle, and wider when the
    value lies outside. Raises ValueError when the band has no width.
    """
    if not high > low:
        raise ValueError("A gauge needs a band with a width.")
    bottom, top = reach or _reach(low, high, value)
    scale = Scale(bottom, top, MARGIN, WIDTH - MARGIN)
    step = step_for(top - bottom, MOST_TICKS)
    head = HEAD_ROOM if value is not None else 0.0
    ticks = [(scale.at(mark), round(mark / step) % 5 == 0) for mark in marks(bottom, top, step)]
    band = (scale.inside(low), scale.inside(high))
    needle = None if value is None else scale.inside(value)
    whisker = None
    if value is not None and plus_minus:
        whisker = (scale.inside(value - plus_minus), scale.inside(value + plus_minus))
    labels = _labels(scale, low, high, None if band_words else value, places, band_words)
    return Gauge(WIDTH, 62.0 + head, 34.0 + head, ticks, band, labels, needle, whisker)


def _reach(low: float, high: float, value: float | None) -> tuple[float, float]:
    middle, half = (low + high) / 2, (high - low) / 2
    bottom, top = middle - half * BANDS_SHOWN / 2, middle + half * BANDS_SHOWN / 2
    if value is None or bottom <= value <= top:
        return bottom, top
    beyond = abs(value - middle) * 1.12
    return (
        (low - (beyond - half) * 0.25, middle + beyond)
        if value > top
        else (middle - beyond, high + (beyond - half) * 0.25)
    )


def _labels(scale: Scale, low: float, high: float, value: float | None, places: int, band_words: str) -> list[Label]:
    if band_words:
        ends = [Label(scale.start, f"{scale.low:g}", "middle"), Label(scale.end, f"{scale.high:g}", "middle")]
        return [ends[0], Label(max(scale.at(high), scale.start + LABEL_GAP), band_words, "middle"), ends[1]]
    first, last = scale.at(low), scale.at(high)
    if last - first >= LABEL_GAP:
        put = [_label(scale, low, places), _label(scale, high, places)]
    else:
        put = [_label(scale, (low + high) / 2, places)]
    if value is not None and all(abs(scale.inside(value) - label.x) >= LABEL_GAP for label in put):
        put.append(_label(scale, value, places))
    return put


def _label(scale: Scale, value: float, places: int) -> Label:
    x = scale.inside(value)
    anchor = "start" if x < scale.start + 24 else "end" if x > scale.end - 24 else "middle"
    return Label(x, f"{value:.{places}f}", anchor)
