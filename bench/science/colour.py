"""Measured colour: CIELAB differences with their uncertainty, and what a screen can show of a colour.

CIEDE2000 after Sharma, Wu and Dalal (Color Research and Application 30, 2005), CIE 1976 L*a*b*, sRGB by IEC 61966-2-1:
all from a general-purpose colour library that is loaded only when it is needed.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from math import dist, hypot
from typing import TYPE_CHECKING, Final, Literal

from bench.translation import _

if TYPE_CHECKING:
    from coloraide import Color

Lab = tuple[float, float, float]
White = Literal["D65", "D50"]
StandardError = float | Lab

COVERAGE: Final = 2.0
"""Uncertainties cover about 95 %: twice the standard error."""

JUST_SEEN_DE: Final = 1.0
"""Side by side, most people begin to see a difference of about this ΔE00 (common practice)."""

SPACES: Final[dict[str, str]] = {"D65": "lab-d65", "D50": "lab"}


@dataclass(frozen=True)
class Fill:
    """A colour for a screen: the sRGB hex code, and whether a screen can show the true colour."""

    hex: str
    in_gamut: bool

    @property
    def note(self) -> str | None:
        """What must be said beside a colour that the screen cannot show; None where it can."""
        return None if self.in_gamut else _("A screen cannot show this colour. The nearest is shown.")


def de00(lab1: Lab, lab2: Lab) -> float:
    """CIEDE2000 colour difference with kL = kC = kH = 1; both colours for the same white."""
    return float(_lab(lab1).delta_e(_lab(lab2), method="2000", space="lab-d65"))


def de76(lab1: Lab, lab2: Lab) -> float:
    """CIE 1976 colour difference: the straight distance in L*, a*, b*."""
    return dist(lab1, lab2)


def difference_uncertainty(
    lab1: Lab,
    lab2: Lab,
    se1: StandardError | None,
    se2: StandardError | None,
    drift: float = 0.0,
) -> float | None:
    """Uncertainty of ΔE00 (about 95 %) from standard errors; None where neither is known.

    A standard error is one number, in ΔE00, or three, of L*, a*, b*: the latter are carried through by the slope of
    ΔE00. Where the colours lie within their own scatter, ΔE00 has no slope, and all three directions count in full.
    `drift` is that of the instrument, in ΔE00: 2·√(s1² + s2² + drift²).
    """
    if se1 is None and se2 is None:
        return None
    first = _share(lab1, lab2, se1, se1, se2)
    second = _share(lab2, lab1, se2, se1, se2)
    return COVERAGE * hypot(first, second, drift)


def say_difference(de: float, uncertainty: float | None) -> str:
    """One sentence on what a ΔE00 and its uncertainty show."""
    if uncertainty is None:
        return _("ΔE00 is {de:.1f}. Without a standard error, scatter may explain it.", de=de)
    both = f"ΔE00 {_digits(de, uncertainty)} ± {_digits(uncertainty, uncertainty)}"
    if uncertainty >= de:
        return _("No visible difference is shown: {both}.", both=both)
    if de < JUST_SEEN_DE:
        return _("Measured, but most eyes will not see it: {both}.", both=both)
    return _("A difference is shown: {both}.", both=both)


def lab_to_srgb_hex(lab: Lab, white: White = "D65") -> Fill:
    """The sRGB hex code for a CIELAB colour of the given white; outside the screen's gamut, chroma is taken back."""
    colour = _colour(SPACES[white], lab).convert("srgb")
    inside = bool(colour.in_gamut(tolerance=0.0005))
    return Fill(colour.fit(method="oklch-chroma").to_string(hex=True), inside)


def srgb_to_lab(srgb: Sequence[float], white: White = "D65") -> Lab:
    """CIELAB from sRGB channels of 0 to 255 (fractions allowed)."""
    colour = _colour("srgb", [channel / 255 for channel in srgb]).convert(SPACES[white])
    lightness, a, b = colour.coords()
    return lightness, a, b


def srgb_to_xyz(srgb: Sequence[float]) -> tuple[float, float, float]:
    """CIE XYZ (D65, Y of white = 1) from sRGB channels of 0 to 255."""
    x, y, z = _colour("srgb", [channel / 255 for channel in srgb]).convert("xyz-d65").coords()
    return x, y, z


def _share(lab: Lab, other: Lab, own: StandardError | None, *both: StandardError | None) -> float:
    """Standard error of ΔE00 that comes from one of the two colours."""
    if own is None:
        return 0.0
    if not isinstance(own, tuple):
        return own
    within_scatter = dist(lab, other) <= hypot(*(_size(each) for each in both))
    return hypot(*(_along(lab, other, axis, own[axis], within_scatter) for axis in range(3)))


def _along(lab: Lab, other: Lab, axis: int, error: float, within_scatter: bool) -> float:
    up, down = (_moved(lab, axis, error), _moved(lab, axis, -error))
    if within_scatter:
        return de00(up, down) / 2
    return abs(de00(up, other) - de00(down, other)) / 2


def _moved(lab: Lab, axis: int, by: float) -> Lab:
    lightness, a, b = (value + (by if place == axis else 0.0) for place, value in enumerate(lab))
    return lightness, a, b


def _size(error: StandardError | None) -> float:
    return 0.0 if error is None else hypot(*error) if isinstance(error, tuple) else error


def _digits(value: float, uncertainty: float) -> str:
    return f"{value:.2f}" if uncertainty < 0.1 else f"{value:.1f}"


@cache
def _library() -> "type[Color]":
    from coloraide import Color

    return Color


def _colour(space: str, coordinates: Sequence[float]) -> "Color":
    return _library()(space, list(coordinates))


def _lab(lab: Lab) -> "Color":
    return _colour("lab-d65", lab)
