"""What came of each level of a factor: a dot a batch, placed by the level, a bar at the mean of each."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean
from typing import Any

from bench.web.drawing.scale import Scale, marks, step_for

WIDTH, HEIGHT = 328.0, 190.0
LEFT, RIGHT, TOP, BASE = 62.0, 310.0, 14.0, 150.0
MOST_MARKS, MOST_NAMED = 4, 6
APART = 8.0
LABEL_GAP = 44.0


@dataclass(frozen=True)
class LevelPlot:
    """`dots` are (x, y), `means` too; `grid` are (y, text), `labels` (x, text), in px of the drawing."""

    width: float
    height: float
    left: float
    right: float
    base: float
    grid: list[tuple[float, str]]
    labels: list[tuple[float, str]]
    dots: list[tuple[float, float]]
    means: list[tuple[float, float]]


def level_plot(values: Mapping[Any, Sequence[float]]) -> LevelPlot:
    """Levels that are numbers stand where they lie, others side by side. Repeats of one level stand beside each other.

    Raises ValueError when there is no value.
    """
    filled = {level: list(found) for level, found in values.items() if found}
    if not filled:
        raise ValueError("There is nothing to be drawn.")
    every = [value for found in filled.values() for value in found]
    low, high = min(every), max(every)
    room = (high - low) * 0.1 or 1.0
    up = Scale(low - room, high + room, BASE, TOP)
    step = step_for(up.high - up.low, MOST_MARKS)
    at = _places(list(filled))
    dots = [
        (at[level] + APART * (n - (len(found) - 1) / 2), up.at(value))
        for level, found in filled.items()
        for n, value in enumerate(found)
    ]
    means = [(at[level], up.at(fmean(found))) for level, found in filled.items()]
    grid = [(up.at(mark), f"{mark:g}") for mark in marks(up.low, up.high, step)]
    return LevelPlot(WIDTH, HEIGHT, LEFT, RIGHT, BASE, grid, _labels(at), dots, means)


def _places(levels: list[Any]) -> dict[Any, float]:
    """The x of each level, well inside both ends."""
    first, last = LEFT + 24, RIGHT - 24
    numbers = all(isinstance(one, int | float) and not isinstance(one, bool) for one in levels)
    if numbers and len(levels) > 1:
        scale = Scale(float(min(levels)), float(max(levels)), first, last)
        return {one: scale.at(float(one)) for one in levels}
    if len(levels) == 1:
        return {levels[0]: (first + last) / 2}
    return {one: first + (last - first) * n / (len(levels) - 1) for n, one in enumerate(levels)}


def _labels(at: Mapping[Any, float]) -> list[tuple[float, str]]:
    """The levels under the line; one that would run into its neighbour is left out."""
    found: list[tuple[float, str]] = []
    for level, x in sorted(at.items(), key=lambda one: one[1]):
        if not found or x - found[-1][0] >= LABEL_GAP:
            found.append((x, f"{level:g}" if isinstance(level, int | float) else str(level)[:MOST_NAMED]))
    return found
