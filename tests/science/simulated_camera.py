"""Photographs with known truth: a camera that mixes its bands, warm light, dark edges, noise, glare, JPEG."""

import io
from dataclasses import dataclass
from typing import Any

import numpy as np
from PIL import Image

from bench.science.colour import Lab
from bench.science.photo_colour import lab_of, light_of

CARD: list[Lab] = [
    (38.0, 14.0, 14.0), (66.0, 18.0, 18.0), (50.0, -4.0, -22.0), (43.0, -13.0, 22.0), (62.0, 28.0, 42.0),
    (42.0, 8.0, -36.0), (51.0, 48.0, 16.0), (71.0, -33.0, 0.5), (92.0, 0.0, 1.0), (66.0, 0.0, 0.0), (50.0, 0.0, 0.0),
    (35.0, 0.0, 0.0),
]  # fmt: skip
"""A card of our own: eight colours and four greys, in three rows of four."""
GREY: Lab = (50.0, 0.0, 0.0)
WIDE, HIGH = 240, 180
CARD_BOX = (24.0, 24.0, 136.0, 108.0)
SWATCH_BOX = (150.0, 45.0, 210.0, 105.0)


@dataclass(frozen=True)
class Shot:
    """A photograph: its pixels as decoded, and the true colour of the swatch in it."""

    pixels: Any
    lab: Lab
    data: bytes


def corners(box: tuple[float, float, float, float]) -> list[tuple[float, float]]:
    x0, y0, x1, y1 = box
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def pigment(draw: np.random.Generator) -> Lab:
    """A colour that a mineral pigment may have: well inside what a screen can show."""
    while True:
        lab = (float(draw.uniform(25, 85)), float(draw.uniform(-35, 45)), float(draw.uniform(-45, 60)))
        if all(0.01 < one < 0.95 for one in light_of(lab)):
            return lab


def shot(draw: np.random.Generator, card: list[Lab], columns: int, lab: Lab | None = None) -> Shot:
    """One photograph of a card and a swatch on a grey board."""
    lab = lab or pigment(draw)
    scene = np.empty((HIGH, WIDE, 3))
    scene[:] = light_of((60.0, 0.0, 0.0))
    rows = -(-len(card) // columns)
    x0, y0, x1, y1 = CARD_BOX
    for n, patch in enumerate(card):
        r, c = divmod(n, columns)
        top, bottom = round(y0 + (y1 - y0) * r / rows), round(y0 + (y1 - y0) * (r + 1) / rows)
        left, right = round(x0 + (x1 - x0) * c / columns), round(x0 + (x1 - x0) * (c + 1) / columns)
        scene[top:bottom, left:right] = light_of(patch)
    x0, y0, x1, y1 = SWATCH_BOX
    scene[round(y0) : round(y1), round(x0) : round(x1)] = light_of(lab)
    texture = draw.normal(1.0, 0.015, (HIGH // 4, WIDE // 4, 1)).repeat(4, 0).repeat(4, 1)
    mix = (
        np.eye(3)
        + draw.normal(0, 0.06, (3, 3)) * (1 - np.eye(3))
        + np.abs(draw.normal(0, 0.05, (3, 3))) * (1 - np.eye(3))
    )
    mix /= mix.sum(axis=1, keepdims=True)
    warm = np.array([draw.uniform(0.9, 1.05), draw.uniform(0.78, 0.92), draw.uniform(0.55, 0.85)])
    yy, xx = np.mgrid[0:HIGH, 0:WIDE]
    far = ((xx - WIDE / 2) ** 2 + (yy - HIGH / 2) ** 2) / ((WIDE / 2) ** 2 + (HIGH / 2) ** 2)
    fall = 1 - draw.uniform(0.0, 0.06) * far
    seen = (scene * texture) @ mix.T * warm * fall[..., None]
    seen = seen * draw.uniform(0.6, 0.8) + draw.uniform(0.0, 0.004)  # exposure, and a little glare over all
    seen += draw.normal(0, 0.004, seen.shape) * np.sqrt(np.maximum(seen, 0.02))
    shown = np.where(seen <= 0.0031308, 12.92 * seen, 1.055 * np.maximum(seen, 1e-9) ** (1 / 2.4) - 0.055)
    kept = io.BytesIO()
    Image.fromarray(np.clip(np.round(255 * shown), 0, 255).astype(np.uint8)).save(kept, "JPEG", quality=88)
    return Shot(np.asarray(Image.open(io.BytesIO(kept.getvalue()))), lab, kept.getvalue())


def truth(lab: Lab) -> Lab:
    """The colour as the screen's white has it, which is what is measured."""
    return lab_of(light_of(lab))
