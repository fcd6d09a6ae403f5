"""The assay of a jar whose water nobody knows: as wide as what it may hold, until a fire-assay narrows it."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from bench.reckoning.working import Step, step
from bench.reference.assay import usual_formula_pct
from bench.reference.things import Reagent
from bench.science.formulas import Formula, parse
from bench.science.refusal import Refusal
from bench.science.usual_oxides import VOLATILE
from bench.translation import _

WEIGHTS: Final = "ciaaw"
MOST_PCT: Final = 110.0
"""An assay by formula above this is counted by the driest form instead, because a plan takes no more."""
WORTH_TELLING_PCT: Final = 0.05


@dataclass(frozen=True)
class Wide:
    """The assay by `formula` of a jar whose water nobody knows: from `low_pct` to `high_pct`, evenly likely.

    `forms` are the forms that the jar may hold, each with the assay that it would have, in per cent.
    """

    formula: str
    low_pct: float
    high_pct: float
    forms: tuple[tuple[str, float], ...]
    working: tuple[Step, ...]

    @property
    def assay_pct(self) -> float:
        """The middle of the range."""
        return (self.low_pct + self.high_pct) / 2

    @property
    def assay_sd_pct(self) -> float:
        """The standard deviation of an even chance over the range: half its width over √3 (JCGM 100:2008, 4.3.7)."""
        return (self.high_pct - self.low_pct) / (2 * math.sqrt(3))


def wide_assay_of(reagent: Reagent) -> Wide | None:
    """The wide assay of a reagent of the library, from its hydrates and its usual assay, or None."""
    try:
        usual = usual_formula_pct(reagent)
    except Refusal:
        usual = None
    return wide_assay(reagent.formula, reagent.hydrates, usual)


def wide_assay(formula: str, hydrates: Sequence[str], usual_pct: tuple[float, float] | None = None) -> Wide | None:
    """The wide assay by `formula` of a jar that may hold any of `hydrates`, or anything in its usual range.

    `usual_pct` is the usual assay by formula, in per cent. None where nothing says how far it may be off. Raises
    Refusal for a formula that cannot be read.
    """
    forms = _forms(formula, hydrates)
    ends = [*forms.values(), *(usual_pct or ())]
    low, high = min(ends), max(ends)
    if high - low < WORTH_TELLING_PCT:
        return None
    counted, share = formula, 1.0
    if (low + high) / 2 > MOST_PCT:
        counted = max(forms, key=lambda text: forms[text])
        share = 100 / forms[counted]
    scaled = {text: pct * share for text, pct in forms.items()}
    usual = (usual_pct[0] * share, usual_pct[1] * share) if usual_pct else None
    low, high = low * share, high * share
    return Wide(counted, low, high, tuple(scaled.items()), _working(counted, scaled, usual, low, high))


def _forms(formula: str, hydrates: Sequence[str]) -> dict[str, float]:
    """Each form with the assay by `formula` that a jar of it has; forms without a common metal are left out."""
    whole = parse(formula)
    key = key_element(whole)
    found = {formula: 100.0}
    for text in hydrates:
        other = parse(text)
        if key is not None and key in other.counts and not _alike(whole, other, key):
            found[text] = 100 * grams_a_mole_of(whole, key) / grams_a_mole_of(other, key)
    return found


def key_element(formula: Formula) -> str | None:
    """The element by which forms of one substance are compared: the first that does not leave as gas."""
    return next((symbol for symbol in formula.counts if symbol not in VOLATILE), None)


def grams_a_mole_of(formula: Formula, symbol: str) -> float:
    """Grams of a formula that hold one mole of an element."""
    return formula.molar_mass_g_mol / formula.numbers[symbol]


def _alike(one: Formula, other: Formula, key: str) -> bool:
    times = one.counts[key] / other.counts[key]
    return {s: n * times for s, n in other.counts.items()} == dict(one.counts)


def _working(
    formula: str, forms: Mapping[str, float], usual: tuple[float, float] | None, low: float, high: float
) -> tuple[Step, ...]:
    steps = [
        step(
            _("A jar of {text} holds this much of it, counted as {formula}", text=text, formula=formula),
            pct,
            "%",
            WEIGHTS,
        )
        for text, pct in forms.items()
    ]
    if usual is not None:
        steps.append(
            step(
                _(
                    "Such jars usually hold {low:.3g} to {high:.3g} % of it (reference data).",
                    low=usual[0],
                    high=usual[1],
                )
            )
        )
    middle, sd = (low + high) / 2, (high - low) / (2 * math.sqrt(3))
    steps.append(
        step(
            _("From {low:.4g} to {high:.4g} % may be right: the middle is taken", low=low, high=high),
            middle,
            "%",
        )
    )
    say = _("Standard deviation of an even chance over that range: {high:.4g} % ÷ 2√3", high=high - low)
    return (*steps, step(say, sd, "%", "JCGM 100:2008, 4.3.7"))
