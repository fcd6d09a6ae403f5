"""`colour-name`: the nearest published colour name to a measured colour, and how near it is."""

from typing import Any

from bench.reckoning.ask import Ask
from bench.reckoning.kind import Field, Kind
from bench.reckoning.kinds.colour_difference import DARKEST, LIGHTEST, WIDEST
from bench.reckoning.working import step
from bench.reference import Library
from bench.science.colour_names import nearest
from bench.science.refusal import Refusal
from bench.translation import _

FAR_DE = 10.0
"""Beyond this ΔE00 a name says little of the colour (project default)."""


def run(ask: Ask, library: Library) -> dict[str, Any]:
    """The nearest of the 267 names, the two after it, and a sentence that never says more than *nearest*."""
    lightness, a, b = ask.numbers("lab", low=-WIDEST, high=WIDEST, fewest=3, most=3)
    if not DARKEST <= lightness <= LIGHTEST:
        raise Refusal(
            _("L* is from 0 to 100; {lightness:g} is not possible.", lightness=lightness), f"{ask.field('lab')}[0]"
        )
    first, *others = nearest((lightness, a, b), library.colour_names)
    far = first.de00 > FAR_DE
    say = _("Nearest name: {name}, {de00:.1f} ΔE00 away", name=first.name, de00=first.de00) + (
        _(": no name lies near.") if far else "."
    )
    return {
        "name": first.name,
        "srgb": first.srgb,
        "de00": first.de00,
        "near": not far,
        "others": [{"name": one.name, "srgb": one.srgb, "de00": one.de00} for one in others],
        "say": say,
        "working": [
            step(
                _("The nearest of {colour_names} centroids", colour_names=len(library.colour_names)),
                first.de00,
                "ΔE00",
                "nbs440",
            ),
            step(_("CIEDE2000 between the two, kL = kC = kH = 1"), first.de00, "ΔE00", "sharma05"),
            step(_("The centroids are 8-bit sRGB, so a name is certain to about 0.3 ΔE00 at best."), 0.3, "ΔE00"),
            step(_("A name covers a range of colours. Compare swatches by their figures.")),
        ],
    }


KIND = Kind(
    name="colour-name",
    summary="the nearest of 267 published colour names",
    fields=(Field("lab", "[L*, a*, b*]", "The colour, for D65."),),
    example={"lab": [42.1, 8.3, -44.0]},
    run=run,
)
