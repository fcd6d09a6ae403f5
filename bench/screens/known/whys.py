"""Why the figures on the pages of the library are what they are: each with its working or its ground."""

from fractions import Fraction

from bench.reckoning import reckon
from bench.reckoning.working import Step, step
from bench.reference import Library
from bench.reference.provenance import BASES, claims_for
from bench.reference.things import FluxOption, Reagent, Target
from bench.science.formulas import parse, pretty
from bench.science.refusal import Refusal
from bench.web.words import _

NEAR_PCT = 0.06
"""A loss on record that is reckoned from the formulas agrees with them to its last digit."""
FINEST = 1000


def mass_working(row: Reagent, library: Library) -> list[Step]:
    """The molar mass of a reagent, element by element."""
    try:
        return list(reckon("molar-mass", {"formula": row.formula}, library)["working"])
    except Refusal:
        return []


def loss_working(row: Reagent) -> list[Step]:
    """The loss on ignition of a reagent, from what its formula leaves; nothing where that does not make the figure."""
    if row.loss_on_ignition_pct is None or not row.residue_formula or row.residue_per_formula is None:
        return []
    try:
        whole, left = parse(row.formula).molar_mass_g_mol, parse(row.residue_formula).molar_mass_g_mol
    except Refusal:
        return []
    per = float(Fraction(row.residue_per_formula).limit_denominator(FINEST))
    loss_pct = 100 * (1 - per * left / whole)
    if abs(loss_pct - row.loss_on_ignition_pct) > NEAR_PCT:
        return []
    kept = _("{n:.4g} {residue} for each formula: × {mass:.3f} g/mol", n=per, residue=pretty(row.residue_formula),
             mass=left)  # fmt: skip
    return [
        step(_("Molar mass of {formula}", formula=pretty(row.formula)), whole, "g/mol", "ciaaw"),
        step(kept, per * left, "g/mol", "ciaaw"),
        step(_("What leaves, of the whole"), loss_pct, "%"),
    ]


def flux_working(row: Target) -> list[Step]:
    """Where the shares of its fluxes come from, and what they count."""
    keys = list(dict.fromkeys(key for claim in claims_for(row, "flux_options") for key in claim.sources))
    ground = BASES.get(row.field_basis.get("flux_options", row.basis), row.basis)
    steps = [step(_("Grams of flux for 100 g of product in theory. {ground}.", ground=ground))]
    steps += [step(_flux(one), one.wt_pct_high, "%") for one in row.flux_options]
    return [*steps, *(step(_("Read in this source, or recalled from it"), None, None, key) for key in keys)]


def _flux(one: FluxOption) -> str:
    name = pretty(one.formula)
    if one.wt_pct_low == one.wt_pct_high:
        return _("{flux}, for 100 g of product", flux=name)
    return _("{flux}, for 100 g of product: from {low:g} g, and at most", flux=name, low=one.wt_pct_low)
