"""Tinting strength and hiding against Kubelka and Munk's theory and the standards' figures."""

import pytest

from bench.science import strength
from bench.science.refusal import Refusal


@pytest.mark.parametrize(
    ("reflectance", "ratio"), [(0.5, 0.25), (0.1, 4.05), (0.8, 0.025), (0.05, 9.025), (0.9, 0.0055556), (1, 0)]
)
def test_absorption_over_scattering(reflectance: float, ratio: float) -> None:
    """(1 - R)²/2R, Kubelka and Munk 1931."""
    assert strength.k_over_s(reflectance) == pytest.approx(ratio, abs=1e-5)


def test_relative_strength() -> None:
    """ISO 787-24, EN ISO 18314-2: 0.20 against 0.25 at equal mass is 142.2 %."""
    assert strength.relative_strength_pct(0.20, 0.25) == pytest.approx(142.2, abs=0.1)
    assert strength.relative_strength_pct(0.3, 0.3) == pytest.approx(100)


@pytest.mark.parametrize(("black", "white", "ratio", "hides"), [(0.588, 0.60, 98.0, True), (58.7, 60, 97.83, False)])
def test_hiding_at_98_per_cent(black: float, white: float, ratio: float, hides: bool) -> None:
    """ISO 6504-3: 98 % counts as complete hiding."""
    found = strength.contrast_ratio_pct(black, white)
    assert found == pytest.approx(ratio, abs=0.01)
    assert strength.hides(found) is hides


def test_what_cannot_be_is_refused() -> None:
    refusals = (
        (lambda: strength.k_over_s(20, "reflectance_sample"), "reflectance_sample"),
        (lambda: strength.relative_strength_pct(0.2, 1), "reflectance_reference"),
        (lambda: strength.relative_strength_pct(0, 0.5), "reflectance_sample"),
        (lambda: strength.k_over_s(1e-300), "reflectance"),
        (lambda: strength.contrast_ratio_pct(60, 50), "y_over_black"),
        (lambda: strength.contrast_ratio_pct(60, 0), "y_over_white"),
        (lambda: strength.contrast_ratio_pct(-1, 5), "y_over_black"),
    )
    for act, field in refusals:
        with pytest.raises(Refusal) as caught:
            act()
        assert caught.value.field == field


def test_a_little_over_100_per_cent_is_scatter_and_more_is_a_swap() -> None:
    """Two readings of one hiding layer differ by up to 2 % (our own default)."""
    assert strength.contrast_ratio_pct(81.6, 80) == pytest.approx(102)
    with pytest.raises(Refusal, match="swapped"):
        strength.contrast_ratio_pct(82, 80)
