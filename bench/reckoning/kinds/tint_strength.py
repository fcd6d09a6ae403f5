"""`tint-strength`: how strongly a pigment colours, against a reference at equal mass in the same white."""

from typing import Any

from bench.reckoning.ask import Ask
from bench.reckoning.kind import Field, Kind
from bench.reckoning.working import step
from bench.reference import Library
from bench.science.strength import k_over_s, relative_strength_pct
from bench.translation import _

SAME_SAY = _("For equal mass in the same white, at the band where the colour is strongest.")
CAMERA_SAY = _("A phone measures three broad bands: call the result relative, by camera.")


def run(ask: Ask, library: Library) -> dict[str, Any]:
    """K/S of both tints and their ratio in %."""
    sample, reference = ask.number("reflectance_sample"), ask.number("reflectance_reference")
    ks_sample = k_over_s(sample, "reflectance_sample")
    ks_reference = k_over_s(reference, "reflectance_reference")
    relative = relative_strength_pct(sample, reference)
    return {
        "k_s_sample": ks_sample,
        "k_s_reference": ks_reference,
        "relative_strength_pct": relative,
        "working": [
            step(
                _("Sample: K/S = (1 - {sample:g})² ÷ (2 × {sample:g})", sample=sample), ks_sample, None, "kubelka-munk"
            ),
            step(
                _("Reference: K/S = (1 - {reference:g})² ÷ (2 × {reference:g})", reference=reference),
                ks_reference,
                None,
                "kubelka-munk",
            ),
            step(_("Relative strength = 100 × K/S of the sample ÷ K/S of the reference"), relative, "%", "iso787-24"),
            step(SAME_SAY),
            step(CAMERA_SAY),
        ],
    }


KIND = Kind(
    name="tint-strength",
    summary="tinting strength of a pigment against a reference",
    fields=(
        Field("reflectance_sample", "0 to 1", "Reflectance of the sample's tint; 20 % is 0.20."),
        Field("reflectance_reference", "0 to 1", "Reflectance of the reference's tint, same mass, same white."),
    ),
    example={"reflectance_sample": 0.20, "reflectance_reference": 0.25},
    run=run,
)
