"""From parts to grams: a recipe in parts by mass or by mole, made up to a total."""

from collections.abc import Sequence
from dataclasses import dataclass

from bench.reckoning.substances import substance
from bench.reckoning.working import Step, step
from bench.reference import Library
from bench.science.refusal import Refusal
from bench.translation import _

MOL = "mol"


@dataclass(frozen=True)
class Share:
    """One line of a recipe: the formula (or slug), how many parts, and how much of the jar is the formula, in %."""

    formula: str
    parts: float
    assay_pct: float = 100.0


def grams_for(shares: Sequence[Share], by: str, total_g: float, library: Library) -> tuple[list[float], list[Step]]:
    """The grams of each line, as weighed from its jar, so that all lines together weigh `total_g`; and the working.

    `by` is `mass` (parts of what is weighed) or `mol` (parts of moles of the formula, so a poorer jar weighs more).
    Raises Refusal for no parts at all.
    """
    weights: list[float] = []
    steps: list[Step] = []
    for n, each in enumerate(shares):
        if by == MOL:
            mass = substance(each.formula, library, f"lines[{n}].formula").formula.molar_mass_g_mol
            weights.append(each.parts * mass / (each.assay_pct / 100))
            say = _(
                "{formula}: {parts:g} mol × {mass:.4f} g/mol ÷ {assay_pct:.4g} %",
                formula=each.formula,
                parts=each.parts,
                mass=mass,
                assay_pct=each.assay_pct,
            )
            steps.append(step(say, weights[-1], "g", "ciaaw"))
        else:
            weights.append(each.parts)
    whole = sum(weights)
    if whole <= 0:
        raise Refusal(_("At least one line needs more than 0 parts."), "lines")
    steps.append(step(_("{total_g:g} g in all, over a sum of", total_g=total_g), whole, "g" if by == MOL else "parts"))
    found = [total_g * weight / whole for weight in weights]
    steps += [step(f"{each.formula}", g, "g") for each, g in zip(shares, found, strict=True)]
    return found, steps
