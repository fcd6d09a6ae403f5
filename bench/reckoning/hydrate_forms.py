"""The forms that a jar of a reagent may hold, and what stays of each in the heat."""

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from bench.reckoning.substances import FINEST
from bench.reckoning.water import CRYSTAL_C
from bench.reckoning.wide_assay import key_element
from bench.reference import Library
from bench.reference.things import Reagent
from bench.science.evolution import GAS_G_MOL, Choices, Evolution, from_steps, general
from bench.science.evolution import Step as GasStep
from bench.science.formulas import Formula, atoms_of, parse, parsed

BOUND_C: Final = (100.0, 700.0)
"""Between these, hydroxide leaves as water where no record says better (common practice)."""
GAS_C: Final = (150.0, 1000.0)
"""Between these, every other gas leaves where no record says better (common practice)."""


@dataclass(frozen=True)
class Form:
    """One form that may stand in the jar, and what stays of it at the heat, in per cent of what was taken.

    `low_pct` to `high_pct` is a range where a gas is leaving just at that heat.
    """

    formula: str
    low_pct: float
    high_pct: float

    @property
    def certain(self) -> bool:
        """Whether the heat leaves one figure."""
        return self.high_pct - self.low_pct < 0.05

    def off_pct(self, stays_pct: float) -> float:
        """How far a mass that stayed lies from this form: above it positive, inside its range zero."""
        return stays_pct - min(max(stays_pct, self.low_pct), self.high_pct)


def forms_of(reagent: Reagent) -> list[str]:
    """The formulas that a jar of this reagent may hold, each composition once, its own first."""
    found: dict[frozenset[tuple[str, Fraction]], str] = {}
    for text in (reagent.formula, *reagent.hydrates):
        formula = parsed(text)
        key = key_element(formula) if formula is not None else None
        if formula is not None and key is not None:
            parts = ((symbol, n / formula.counts[key]) for symbol, n in formula.counts.items())
            found.setdefault(frozenset(parts), text)
    return list(found.values())


def kept(reagent: Reagent, at_c: float, library: Library) -> tuple[Form, ...]:
    """What stays of each form in air at `at_c` °C, the one that keeps most first.

    Raises Refusal for a formula that cannot be read.
    """
    texts = forms_of(reagent)
    forms = [_form(text, evolution_of(parse(text), reagent, library), reagent, at_c) for text in texts]
    return tuple(sorted(forms, key=lambda form: -form.high_pct))


def evolution_of(formula: Formula, reagent: Reagent, library: Library) -> Evolution:
    """What a mole of this form gives off, by the record of that form itself, else by that of the reagent."""
    told = (r for r in library.reagents.values() if r.residue_formula and atoms_of(r.formula) == formula.counts)
    row = next(told, reagent)
    own = parse(row.formula)
    key = key_element(own)
    if not row.residue_formula or key is None or key not in formula.counts:
        return general(formula, Choices())
    times = formula.counts[key] / own.counts[key]
    per = Fraction(row.residue_per_formula or 0).limit_denominator(FINEST) * times
    residue = {symbol: float(n * per) for symbol, n in parse(row.residue_formula).counts.items()}
    steps = [
        GasStep(s.gas, float(times * Fraction(s.mol_per_formula).limit_denominator(FINEST)), s.from_c, s.to_c)
        for s in row.gas_steps
    ]
    return from_steps(formula.numbers, residue, steps, Choices())


def window_c(one: GasStep, text: str, reagent: Reagent) -> tuple[float, float]:
    """From which heat to which a step goes on. What only ends inside a charge has no end here."""
    if one.from_c is None or one.to_c is None:
        return (CRYSTAL_C if "H2O" in text else BOUND_C) if one.gas == "H2O" else GAS_C
    if reagent.residue_context == "in-charge" and one.gas not in ("H2O", "NH3") and one.to_c > 500:
        return one.from_c, math.inf
    return one.from_c, one.to_c


def _form(text: str, evolution: Evolution, reagent: Reagent, at_c: float) -> Form:
    mass = parse(text).molar_mass_g_mol
    low = high = mass
    # Gases of one window go together: oxygen that burns a salt is taken up only as its carbon dioxide leaves.
    leaving: dict[tuple[float, float], float] = {}
    for one in evolution.steps:
        window = window_c(one, text, reagent)
        leaving[window] = leaving.get(window, 0.0) + one.mol * GAS_G_MOL[one.gas]
    for (starts, ends), g in leaving.items():
        if at_c >= ends:
            low, high = low - g, high - g
        elif at_c > starts:
            low, high = low - max(g, 0.0), high - min(g, 0.0)
    return Form(text, round(100 * max(low, 0.0) / mass, 9), round(100 * high / mass, 9))
