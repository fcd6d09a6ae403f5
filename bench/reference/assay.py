"""From the assay on a jar to the assay by formula, which is what a weighing needs."""

from bench.reference.things import Reagent
from bench.science.formulas import parse
from bench.science.refusal import Refusal
from bench.translation import _


def theory_pct(reagent: Reagent) -> float:
    """How much of its `assay_formula` a reagent holds by its formula, in per cent by mass (100 where the assay is by
    formula).

    Cobalt counted in CoCO3 gives 49.5; Fe2O3 counted in FeOOH gives 89.9, because the iron is what both share.
    """
    whole, part = parse(reagent.formula), parse(reagent.assay_formula or reagent.formula)
    shared = [symbol for symbol in part.counts if symbol in whole.counts and symbol not in ("O", "H")]
    if not shared:
        raise Refusal(
            _(
                "The assay of {name} counts {assay_formula}, which is not in its formula.",
                name=reagent.name,
                assay_formula=reagent.assay_formula,
            ),
            "assay_pct",
        )
    units = whole.counts[shared[0]] / part.counts[shared[0]]
    return 100 * float(units) * part.molar_mass_g_mol / whole.molar_mass_g_mol


def formula_pct(reagent: Reagent, assay_pct: float) -> float:
    """The assay by formula, in per cent, of a jar whose label or fire assay gives `assay_pct` of the reagent's
    `assay_formula`.

    It may pass 100 where the jar holds less water or carbonate than the formula says. Raises Refusal outside 0 to
    100.
    """
    if not 0 < assay_pct <= 100:
        raise Refusal(_("An assay is above 0 and at most 100 per cent."), "assay_pct")
    return 100 * assay_pct / theory_pct(reagent)


def usual_formula_pct(reagent: Reagent) -> tuple[float, float] | None:
    """The usual range of the assay by formula, in per cent, or None where none is known."""
    if reagent.assay_low_pct is None or reagent.assay_high_pct is None:
        return None
    return formula_pct(reagent, reagent.assay_low_pct), formula_pct(reagent, reagent.assay_high_pct)
