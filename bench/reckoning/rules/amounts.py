"""The most of a poisonous gas that a part can give, by its atoms alone: for the words of a rule, before any sum."""

from bench.reckoning.rules.cards import Known
from bench.reckoning.rules.scene import Seen
from bench.science.formulas import parse


def hydrogen_fluoride_g(seen: Seen, known: Known) -> float | None:
    """Grams of HF if steam or silica takes every fluorine; None where formula or grams are not known."""
    return _gas_g(seen, known, "F", "HF", 1.0)


def carbon_monoxide_g(seen: Seen, known: Known) -> float | None:
    """Grams of CO if every carbon leaves as it; of an oxalate half, for each CO of it leaves beside a CO2."""
    read = seen.facts.composition
    share = 0.5 if read is not None and "oxalate" in read.marks else 1.0
    return _gas_g(seen, known, "C", "CO", share)


def _gas_g(seen: Seen, known: Known, symbol: str, gas: str, share: float) -> float | None:
    formula = known.formula(seen.part)
    if formula is None or seen.part.g is None or seen.facts.composition is None:
        return None
    atoms = float(parse(formula).counts.get(symbol, 0))
    return seen.part.g * atoms * share * parse(gas).molar_mass_g_mol / seen.facts.composition.molar_mass_g_mol
