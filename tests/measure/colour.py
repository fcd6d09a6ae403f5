"""`--colour`: how far a colour from a photo is off and whether its error covers that, and what a large photo costs."""

import io
import tracemalloc
from statistics import median
from typing import Final

import numpy as np
from PIL import Image

from bench.clock import tick_s
from bench.science.colour import Lab, de00, difference_uncertainty
from bench.science.photo_colour import Card, by_card, measure
from bench.science.photo_samples import sample
from bench.science.refusal import Refusal
from bench.screens.powders.light import pixels_of
from tests.measure.figure import Figure
from tests.science import simulated_camera as camera

NAME = "colour"
RUNS: Final = 300
GREY_GOAL_DE, CARD_GOAL_DE, COVERED = 6.0, 1.5, (90.0, 98.0)
LARGE: Final = (8000, 6000)
LARGE_GOAL_S, LARGE_GOAL_MB = 5.0, 400.0


def run() -> list[Figure]:
    """Simulated photographs with a grey, six patches and twelve; then one of 48 megapixels."""
    found: list[Figure] = []
    covered: list[bool] = []
    for words, card, columns, goal in (
        ("a single grey", [camera.GREY], 1, GREY_GOAL_DE),
        ("six patches", camera.CARD[2:8], 3, CARD_GOAL_DE),
        ("twelve patches", camera.CARD, 4, CARD_GOAL_DE),
    ):
        off, inside = _simulated(card, columns)
        covered += inside
        middle = median(off)
        worst = f"95 % within {np.quantile(off, 0.95):.1f}; covered {100 * np.mean(inside):.1f} %"
        found.append(Figure(f"median ΔE00 with {words}", middle, "ΔE00", f"at most {goal:g}", middle <= goal, worst))
    share = 100 * float(np.mean(covered))
    low, high = COVERED
    found.append(Figure("truth inside the stated error", share, "%", f"{low:g} to {high:g}", low <= share <= high))
    return [*found, *_large()]


def _simulated(card: list[Lab], columns: int) -> tuple[list[float], list[bool]]:
    draw = np.random.default_rng(len(card) + 1000)
    off: list[float] = []
    inside: list[bool] = []
    while len(off) < RUNS // 3:
        shot = camera.shot(draw, card, columns)
        try:
            made, _flags = by_card(shot.pixels, camera.corners(camera.CARD_BOX), Card(tuple(card), columns))
            found = measure(sample(shot.pixels, camera.corners(camera.SWATCH_BOX)), made)
        except Refusal:
            continue
        off.append(de00(found.lab, shot.lab))
        inside.append(off[-1] <= (difference_uncertainty(found.lab, shot.lab, found.se, None) or 0.0))
    return off, inside


def _large() -> list[Figure]:
    """The time and the memory of one large JPEG, from its bytes to the colour."""
    shot = camera.shot(np.random.default_rng(7), camera.CARD, 4)
    kept = io.BytesIO()
    Image.fromarray(shot.pixels).resize(LARGE).save(kept, "JPEG", quality=88)
    tracemalloc.start()
    begin = tick_s()
    pixels, display_p3 = pixels_of(kept.getvalue())
    scale = pixels.shape[1] / camera.WIDE
    marks = [[(x * scale, y * scale) for x, y in camera.corners(box)] for box in (camera.CARD_BOX, camera.SWATCH_BOX)]
    made, _flags = by_card(pixels, marks[0], Card(tuple(camera.CARD), 4), display_p3)
    measure(sample(pixels, marks[1], display_p3), made)
    took = tick_s() - begin
    peak_mb = tracemalloc.get_traced_memory()[1] / 1e6
    tracemalloc.stop()
    size = (
        f"{LARGE[0] * LARGE[1] / 1e6:.0f} megapixels, of which {pixels.shape[0] * pixels.shape[1] / 1e6:.0f} are kept"
    )
    return [
        Figure("a large photo to its colour", took, "s", f"at most {LARGE_GOAL_S:g}", took <= LARGE_GOAL_S, size),
        Figure(
            "memory for it",
            peak_mb,
            "MB",
            f"at most {LARGE_GOAL_MB:g}",
            peak_mb <= LARGE_GOAL_MB,
            "numpy's and Python's own",
        ),
    ]
