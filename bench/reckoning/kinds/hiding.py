"""`hiding`: how well a paint-out covers black and white."""

from typing import Any

from bench.reckoning.ask import Ask
from bench.reckoning.kind import Field, Kind
from bench.reckoning.working import step
from bench.reference import Library
from bench.science.strength import HIDES_AT_PCT, contrast_ratio_pct, hides
from bench.translation import _


def run(ask: Ask, library: Library) -> dict[str, Any]:
    """The contrast ratio in %, and whether it counts as hiding."""
    black, white = ask.number("y_over_black", high=1e6), ask.number("y_over_white", high=1e6)
    ratio = contrast_ratio_pct(black, white)
    return {
        "contrast_ratio_pct": ratio,
        "hides": hides(ratio),
        "working": [
            step(
                _("100 × Y {black:g} over black ÷ Y {white:g} over white", black=black, white=white),
                ratio,
                "%",
                "iso6504",
            ),
            step(
                _("From {hides_at_pct:g} % on this counts as complete hiding", hides_at_pct=HIDES_AT_PCT),
                HIDES_AT_PCT,
                "%",
                "iso6504",
            ),
            step(_("This is for this film. A thicker one hides more.")),
        ],
    }


KIND = Kind(
    name="hiding",
    summary="contrast ratio of a film over black and white",
    fields=(
        Field("y_over_black", "Y", "Lightness Y (tristimulus) of the film over black."),
        Field("y_over_white", "Y", "Lightness Y of the film over white, in the same scale."),
    ),
    example={"y_over_black": 0.588, "y_over_white": 0.60},
    run=run,
)
