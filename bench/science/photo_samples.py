"""What is seen of an area of a photo: its linear light, what its parts say of its error, and what is wrong with it.

Linear light of the sRGB primaries (IEC 61966-2-1).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from math import sqrt
from typing import TYPE_CHECKING, Any, Final

from bench.science.colour import _colour
from bench.science.refusal import Refusal
from bench.translation import _

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]


CLIPPED_SHARE: Final = 0.02
"""An area of which more is clipped tells nothing (project default)."""
TRIM: Final = 0.1
INSET: Final = 0.2
"""Of an area its outer fifth on each side is not used: edges, shadows, neighbours."""
BLOCKS: Final = 4
GLOSS: Final = 0.35
UNEVEN: Final = 0.12
"""An area is glossy where its brightest hundredth is this much over its middle, and uneven where its quarters differ
by more than this share of it (project defaults)."""

Corners = Sequence[tuple[float, float]]


@dataclass(frozen=True)
class Sample:
    """What was seen of an area: linear light of each channel, its standard error, and what is wrong with it."""

    light: tuple[float, float, float]
    se: tuple[float, float, float]
    pixels: int
    flags: tuple[str, ...] = ()


def linear_light(pixels: "NDArray[Any]", display_p3: bool = False) -> "Floats":
    """Linear light, sRGB primaries, of an array of 8-bit channels."""
    import numpy as np

    value = np.asarray(pixels, dtype=np.float64) / 255
    light = np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)
    return light @ np.array(_p3_to_srgb()).T if display_p3 else light


@cache
def _p3_to_srgb() -> list[list[float]]:
    columns = [
        _colour("display-p3-linear", axis).convert("srgb-linear").coords() for axis in ((1, 0, 0), (0, 1, 0), (0, 0, 1))
    ]
    return [[float(columns[n][row]) for n in range(3)] for row in range(3)]


def cells(corners: Corners, columns: int, rows: int) -> list[list[tuple[float, float]]]:
    """The corners of each cell of a card, row by row; the card's own are given clockwise from the top left."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = corners

    def at(u: float, v: float) -> tuple[float, float]:
        x = (1 - v) * ((1 - u) * ax + u * bx) + v * ((1 - u) * dx + u * cx)
        y = (1 - v) * ((1 - u) * ay + u * by) + v * ((1 - u) * dy + u * cy)
        return x, y

    found = []
    for r in range(rows):
        for c in range(columns):
            u0, u1, v0, v1 = c / columns, (c + 1) / columns, r / rows, (r + 1) / rows
            found.append([at(u0, v0), at(u1, v0), at(u1, v1), at(u0, v1)])
    return found


def sample(pixels: "NDArray[Any]", corners: Corners, display_p3: bool = False, name: str = "area") -> Sample:
    """What is seen of an area of a picture. Corners in pixels. Refusal where it is too small or clipped."""
    import numpy as np

    raw = _inside(pixels, corners, name)
    flat = raw.reshape(-1, 3)
    clipped = float(np.mean(np.any((flat >= 254) | (flat <= 1), axis=1)))
    if clipped > CLIPPED_SHARE:
        raise Refusal(_("{name} is over- or underexposed in this photo. Take another.", name=name), "photo")
    light = linear_light(raw, display_p3)
    mean = _trimmed(light.reshape(-1, 3))
    blocks = np.array([_trimmed(one.reshape(-1, 3)) for one in _blocks(light)])
    se = blocks.std(axis=0, ddof=1) / sqrt(len(blocks))
    bright = light.mean(axis=2)
    middle = float(np.median(bright))
    flags = []
    if float(np.quantile(bright, 0.99)) > middle * (1 + GLOSS):
        flags.append("glossy")
    if float(np.ptp(blocks.mean(axis=1))) > UNEVEN * middle:
        flags.append("uneven")
    r, g, b = (float(one) for one in mean)
    sr, sg, sb = (float(one) for one in se)
    return Sample((r, g, b), (sr, sg, sb), len(flat), tuple(flags))


def _inside(pixels: "NDArray[Any]", corners: Corners, name: str) -> "NDArray[Any]":
    """The upright rectangle well inside the corners."""
    xs, ys = sorted(x for x, _y in corners), sorted(y for _x, y in corners)
    left, right, top, bottom = (xs[1] if len(xs) > 2 else xs[0]), (xs[-2] if len(xs) > 2 else xs[-1]), 0.0, 0.0
    top, bottom = (ys[1] if len(ys) > 2 else ys[0]), (ys[-2] if len(ys) > 2 else ys[-1])
    wide, high = right - left, bottom - top
    x0, x1 = round(left + INSET * wide), round(right - INSET * wide)
    y0, y1 = round(top + INSET * high), round(bottom - INSET * high)
    part = pixels[max(0, y0) : max(0, y1), max(0, x0) : max(0, x1)]
    if part.shape[0] < 2 * BLOCKS or part.shape[1] < 2 * BLOCKS:
        raise Refusal(_("{name} is too small in this photo. Mark a larger area.", name=name), "photo")
    return part


def _blocks(light: "Floats") -> "list[Floats]":
    import numpy as np

    return [one for strip in np.array_split(light, BLOCKS, axis=0) for one in np.array_split(strip, BLOCKS, axis=1)]


def _trimmed(light: "Floats") -> "Floats":
    """The mean of each channel without its darkest and brightest tenth."""
    import numpy as np

    ordered = np.sort(light, axis=0)
    cut = int(TRIM * len(ordered))
    found: Floats = ordered[cut : len(ordered) - cut].mean(axis=0)
    return found
