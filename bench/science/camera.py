"""Colour from a phone's picture: linear light, a grey card, and a chart of known patches.

A phone sees three broad bands, so every result is relative, by camera, never a measurement of the pigment's own colour.
The transfer function is that of sRGB (IEC 61966-2-1).
"""

from collections.abc import Sequence
from typing import Final

from bench.science.refusal import Refusal

FEWEST_PATCHES: Final = 6
"""Four patches can fit a 3 × 3 matrix and still be wrong by a ΔE of 7; with six the floor is about 0.7."""

CLIPPED_LOW: Final = 1.0
CLIPPED_HIGH: Final = 254.0
Channels = tuple[float, float, float]
Matrix = tuple[Channels, Channels, Channels]


def linear(channel: float) -> float:
    """Linear light of 0 to 1 from an sRGB channel of 0 to 255."""
    value = channel / 255
    return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4


def encoded(light: float) -> float:
    """sRGB channel of 0 to 255 from linear light of 0 to 1."""
    return 255 * (12.92 * light if light <= 0.0031308 else 1.055 * light ** (1 / 2.4) - 0.055)


def by_grey_card(pixel: Channels, card_seen: Channels, card_true: float) -> Channels:
    """A pixel corrected by a grey card in the same light: linear gain true/seen for each channel; sRGB 0 to 255.

    Refuses a card whose channels are clipped: its light is then not known.
    """
    if not all(CLIPPED_LOW <= channel <= CLIPPED_HIGH for channel in card_seen):
        raise Refusal("The grey card is over- or underexposed in this picture: take another.", "card")
    first, second, third = (
        encoded(min(1.0, linear(value) * linear(card_true) / linear(seen)))
        for value, seen in zip(pixel, card_seen, strict=True)
    )
    return first, second, third


def chart_matrix(seen: Sequence[Channels], true: Sequence[Channels]) -> Matrix:
    """The 3 × 3 matrix on linear light that best turns the patches as seen into the true ones (least squares).

    Channels in sRGB 0 to 255. Clipped patches are left out; refuses with fewer than six left, or if they are all alike.
    """
    import numpy as np

    if len(seen) != len(true):
        raise Refusal("Give a true colour for each patch that was seen.", "true")
    good = [
        (known, patch)
        for known, patch in zip(true, seen, strict=True)
        if all(CLIPPED_LOW <= channel <= CLIPPED_HIGH for channel in patch)
    ]
    if len(good) < FEWEST_PATCHES:
        raise Refusal(f"{len(good)} usable patches are too few: it takes {FEWEST_PATCHES}.", "seen")
    table_true = np.array([[linear(channel) for channel in known] for known, _ in good])
    table_seen = np.array([[linear(channel) for channel in patch] for _, patch in good])
    solution, _, rank, _ = np.linalg.lstsq(table_seen, table_true, rcond=1e-6)
    if rank < 3:
        raise Refusal("The patches are too much alike: take a chart with red, green, blue and greys.", "seen")
    first, second, third = (tuple(float(value) for value in column) for column in solution.T)
    return first, second, third  # type: ignore[return-value]


def by_matrix(pixel: Channels, matrix: Matrix) -> Channels:
    """A pixel in sRGB 0 to 255 corrected by a chart's matrix."""
    light = [linear(channel) for channel in pixel]
    first, second, third = (
        encoded(min(1.0, max(0.0, sum(weight * value for weight, value in zip(row, light, strict=True)))))
        for row in matrix
    )
    return first, second, third
