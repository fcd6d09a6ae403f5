"""Tinting strength and hiding power from reflectance: Kubelka and Munk's theory.

K/S = (1 - R)²/2R for a layer thick enough to hide (Kubelka and Munk 1931); relative strength is the ratio of K/S at
equal mass in the same white (ISO 787-24, EN ISO 18314-2); hiding is 98 % contrast (ISO 6504-3).
Reflectances run from 0 to 1.
"""

from typing import Final

from bench.science.refusal import Refusal
from bench.translation import _

HIDES_AT_PCT: Final = 98.0
DARKEST: Final = 1e-4
"""No surface and no meter goes below this reflectance; K/S would only be noise."""

SWAPPED_ABOVE_PCT: Final = 102.0
"""Over black a paint is never lighter than over white; beyond scatter of the meter the two readings are swapped."""


def k_over_s(reflectance: float, field: str = "reflectance") -> float:
    """Absorption over scattering, K/S, of a hiding layer with this reflectance, from 0.0001 to 1."""
    if not DARKEST <= reflectance <= 1:
        raise Refusal(_("A reflectance must be from {darkest:g} to 1: 20 % is 0.20.", darkest=DARKEST), field)
    return (1 - reflectance) ** 2 / (2 * reflectance)


def relative_strength_pct(sample: float, reference: float) -> float:
    """Tinting strength of a sample in % of a reference, from the reflectances of equal mixtures with white."""
    of_reference = k_over_s(reference, "reflectance_reference")
    if of_reference == 0:
        raise Refusal(_("The reference absorbs nothing, so there is nothing to compare."), "reflectance_reference")
    return 100 * k_over_s(sample, "reflectance_sample") / of_reference


def contrast_ratio_pct(y_over_black: float, y_over_white: float) -> float:
    """Lightness Y over black in % of Y over white, both in the same scale."""
    if y_over_white <= 0:
        raise Refusal(_("Y over white must be more than 0."), "y_over_white")
    if y_over_black < 0:
        raise Refusal(_("Y over black must be 0 or more."), "y_over_black")
    ratio = 100 * y_over_black / y_over_white
    if ratio > SWAPPED_ABOVE_PCT:
        raise Refusal(_("Y over black is greater than Y over white. Are they swapped?"), "y_over_black")
    return ratio


def hides(ratio_pct: float) -> bool:
    """True from a contrast ratio of 98 % on, which counts as complete hiding."""
    return ratio_pct >= HIDES_AT_PCT - 1e-9
