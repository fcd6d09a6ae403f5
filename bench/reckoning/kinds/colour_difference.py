"""`colour-difference`: how far two measured colours lie apart, and whether that is more than their scatter."""

from typing import Any

from bench.reckoning.ask import Ask
from bench.reckoning.kind import Field, Kind
from bench.reckoning.working import Step, step
from bench.reference import Library
from bench.science.colour import Lab, StandardError, de00, de76, difference_uncertainty, say_difference
from bench.science.refusal import Refusal
from bench.translation import _

LIGHTEST, DARKEST, WIDEST = 150.0, -5.0, 300.0
LARGEST_SE = 100.0


def run(ask: Ask, library: Library) -> dict[str, Any]:
    """ΔE00 and ΔE76 with the uncertainty that the standard errors leave, in one sentence too."""
    lab1, lab2 = _lab(ask, "lab1"), _lab(ask, "lab2")
    se1, se2 = _standard_error(ask, "se1"), _standard_error(ask, "se2")
    drift = ask.number("drift_de", low=0, high=LARGEST_SE, default=0.0)
    difference = de00(lab1, lab2)
    uncertainty = difference_uncertainty(lab1, lab2, se1, se2, drift)
    say = say_difference(difference, uncertainty)
    return {
        "de00": difference,
        "de76": de76(lab1, lab2),
        "uncertainty": uncertainty,
        "shown": None if uncertainty is None else difference > uncertainty,
        "say": say,
        "working": [
            step(
                _("CIEDE2000 between {lab1} and {lab2}, kL = kC = kH = 1", lab1=_shown(lab1), lab2=_shown(lab2)),
                difference,
                "ΔE00",
                "sharma05",
            ),
            step(_("Straight distance in L*, a*, b*"), de76(lab1, lab2), "ΔE76"),
            *_uncertainty_steps(se1, se2, drift, uncertainty),
            step(say),
        ],
    }


def _lab(ask: Ask, name: str) -> Lab:
    lightness, a, b = ask.numbers(name, low=-WIDEST, high=WIDEST, fewest=3, most=3)
    if not DARKEST <= lightness <= LIGHTEST:
        raise Refusal(
            _("L* is from 0 to 100; {lightness:g} is not possible.", lightness=lightness), f"{ask.field(name)}[0]"
        )
    return lightness, a, b


def _standard_error(ask: Ask, name: str) -> StandardError | None:
    """One number in ΔE00, or three of L*, a*, b*."""
    if isinstance(ask.raw(name), list):
        lightness, a, b = ask.numbers(name, low=0, high=LARGEST_SE, fewest=3, most=3)
        return lightness, a, b
    found: float | None = ask.number(name, low=0, high=LARGEST_SE, default=None)
    return found


def _shown(lab: Lab) -> str:
    return f"({lab[0]:g}, {lab[1]:g}, {lab[2]:g})"


def _uncertainty_steps(
    se1: StandardError | None, se2: StandardError | None, drift: float, uncertainty: float | None
) -> list[Step]:
    if uncertainty is None:
        return [step(_("No standard error was given, so no uncertainty can be stated."))]
    steps = [step(_("2·√(s1² + s2² + drift²), three errors carried through by the slope of ΔE00"), uncertainty, "ΔE00")]
    if se1 is None or se2 is None:
        steps.append(step(_("Only one standard error was given: the true uncertainty is larger.")))
    if drift == 0:
        steps.append(step(_("The instrument's drift counts as zero.")))
    return steps


KIND = Kind(
    name="colour-difference",
    summary="CIEDE2000 between two colours, with its uncertainty",
    fields=(
        Field("lab1", "[L*, a*, b*]", "The first colour; both for the same white."),
        Field("lab2", "[L*, a*, b*]", "The second colour."),
        Field("se1", "ΔE00 or [L*, a*, b*]", "Standard error of the first: one number, or three.", False),
        Field("se2", "ΔE00 or [L*, a*, b*]", "Standard error of the second.", False),
        Field("drift_de", "ΔE00", "Drift of the instrument, from repeated readings of one card.", False, 0),
    ),
    example={"lab1": [42.1, 8.3, -44.0], "lab2": [43.0, 7.9, -43.1], "se1": 0.4, "se2": 0.3},
    run=run,
)
