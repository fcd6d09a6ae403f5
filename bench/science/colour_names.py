"""The nearest of a list of named colours, by ΔE00. A name is a word for a colour, never a measurement of it."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from bench.science.colour import Lab, de00, srgb_to_lab


@dataclass(frozen=True)
class Named:
    """A named colour, its sRGB code such as `#be0032`, and how far a measured one lies from it in ΔE00."""

    name: str
    srgb: str
    de00: float


def nearest(lab: Lab, centroids: Mapping[str, str], most: int = 3) -> list[Named]:
    """The names whose centroids lie nearest to a CIELAB colour (D65), the nearest first.

    `centroids` maps each name to six hexadecimal digits of sRGB. Of names as near as one another the first in the
    alphabet comes first.
    """
    found = (Named(name, f"#{srgb}", de00(lab, lab_of(srgb))) for name, srgb in centroids.items())
    return sorted(found, key=lambda one: (one.de00, one.name))[:most]


@lru_cache(maxsize=512)
def lab_of(srgb: str) -> Lab:
    """CIELAB (D65) of six hexadecimal digits of sRGB."""
    return srgb_to_lab([int(srgb[at : at + 2], 16) for at in (0, 2, 4)])
