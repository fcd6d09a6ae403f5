"""Checks of the reagents: formula, mass, CAS number, assay, and that mass is kept from the jar to the residue and its
gases.
"""

from collections.abc import Iterator

from bench.reference.library import Library
from bench.reference.things import Reagent
from bench.science.cas import cas_holds
from bench.science.formulas import Formula, parsed
from tests.reference.checking.common import in_order, mass_agrees, one_of

FATES = ("reacts", "washed-out", "burns-out", "stays")
NEVER_WITH = frozenset(
    [
        "acid",
        "alkali",
        "alkali-air",
        "ammonium-salt",
        "barium-air",
        "calcium-air",
        "carbonate",
        "chlorate",
        "chromium-air",
        "clay-steam-hot",
        "closed-vessel",
        "cyanide",
        "fluoride",
        "fluoride-hot",
        "fuel-organics",
        "hydrochloric-acid",
        "metal-powder",
        "nitrate",
        "oxidiser",
        "permanganate",
        "silica-hot",
        "sulfur-sulfide",
        "water-slurry",
    ]
)
GASES = ("O2", "CO2", "CO", "H2O", "HCl", "Cl2", "HF", "SO2", "SO3", "NO2", "NO", "NH3", "N2")
ATOM_TOLERANCE = 2e-5


def check_reagents(library: Library) -> Iterator[str]:
    """What is wrong with the reagents."""
    for slug, each in library.reagents.items():
        who = f"reagent {slug}"
        formula = parsed(each.formula)
        if formula is None:
            yield f"{who}: the formula {each.formula!r} cannot be read."
        else:
            yield from mass_agrees(who, formula, each.molar_mass_g_mol)
            yield from atoms_kept(who, each, formula)
            yield from loss_agrees(who, each, formula)
        if not cas_holds(each.cas):
            yield f"{who}: the CAS number {each.cas!r} does not hold."
        yield from words_known(who, each, library)
        yield from numbers_sound(who, each)


def words_known(who: str, each: Reagent, library: Library) -> Iterator[str]:
    """Words from fixed lists, formulas of hydrates and assay, and the card."""
    yield from one_of(who, "residue_context", each.residue_context, ("alone", "in-charge"))
    yield from one_of(who, "water_soluble", each.water_soluble, ("no", "slightly", "yes", "reacts"))
    yield from one_of(who, "hygroscopic", each.hygroscopic, ("no", "slightly", "yes"))
    yield from one_of(who, "froths", each.froths, ("quiet", "froths", "carbonate"))
    yield from one_of(who, "fate_default", each.fate_default, FATES)
    for ware in each.attacks_ware:
        yield from one_of(who, "attacks_ware", ware, library.ware)
    for other in each.never_with:
        yield from one_of(who, "never_with", other, NEVER_WITH)
    for text in (*each.hydrates, each.assay_formula):
        if parsed(text) is None:
            yield f"{who}: {text!r} cannot be read as a formula."
    if each.hazard_id and each.hazard_id not in library.hazards:
        yield f"{who}: there is no hazard card {each.hazard_id!r}."


def numbers_sound(who: str, each: Reagent) -> Iterator[str]:
    """Ranges run upward and lie where they can."""
    yield from in_order(who, "assay", each.assay_low_pct, each.assay_high_pct)
    yield from in_order(who, "bulk density", each.bulk_density_low_g_ml, each.bulk_density_high_g_ml)
    if not 0 < (each.assay_low_pct or 0) <= (each.assay_high_pct or 0) <= 100:
        yield f"{who}: the assay is not between 0 and 100 %."
    if not 0.02 <= (each.bulk_density_low_g_ml or 0) <= (each.bulk_density_high_g_ml or 0) <= 5:
        yield f"{who}: the bulk density is not between 0.02 and 5 g/mL."
    for step in each.gas_steps:
        yield from one_of(who, "gas", step.gas, GASES)
        yield from in_order(who, f"{step.gas} step", step.from_c, step.to_c)
        if not (20 <= step.from_c < step.to_c <= 1400) or step.mol_per_formula == 0:
            yield f"{who}: the {step.gas} step is out of range."


def atoms_kept(who: str, each: Reagent, formula: Formula) -> Iterator[str]:
    """Every atom of the formula is in the residue or in a gas: nothing is lost, nothing made."""
    if each.residue_per_formula is None:
        return
    left = {symbol: float(count) for symbol, count in formula.counts.items()}
    portions = [(step.gas, step.mol_per_formula) for step in each.gas_steps]
    if each.residue_formula:
        portions.append((each.residue_formula, each.residue_per_formula))
    for text, mol in portions:
        part = parsed(text)
        if part is None:
            yield f"{who}: {text!r} cannot be read as a formula."
            return
        for symbol, count in part.counts.items():
            left[symbol] = left.get(symbol, 0.0) - mol * float(count)
    for symbol, over in left.items():
        if abs(over) > ATOM_TOLERANCE:
            yield f"{who}: {over:+.4f} {symbol} for each formula is neither in the residue nor in a gas."


def loss_agrees(who: str, each: Reagent, formula: Formula) -> Iterator[str]:
    """The stated loss on ignition is that of the residue, where the residue stands alone."""
    residue = parsed(each.residue_formula) if each.residue_formula else None
    if each.loss_on_ignition_pct is None or residue is None or each.residue_per_formula is None:
        return
    kept = each.residue_per_formula * residue.molar_mass_g_mol / formula.molar_mass_g_mol
    loss_pct = 100 * (1 - kept)
    if abs(loss_pct - each.loss_on_ignition_pct) > 0.05:
        yield f"{who}: loss on ignition {each.loss_on_ignition_pct} % stated, {loss_pct:.2f} % by the residue."
