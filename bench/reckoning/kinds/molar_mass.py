"""`molar-mass`: the mass of a mole, and what the formula was read as."""

from typing import Any

from bench.reckoning.ask import Ask
from bench.reckoning.kind import Field, Kind
from bench.reckoning.questions import count_read
from bench.reckoning.substances import substance
from bench.reckoning.working import step
from bench.reference import Library
from bench.science.formulas import Formula, parse, pretty
from bench.science.refusal import Refusal
from bench.science.weights import G_MOL, SOURCE
from bench.translation import _


def run(ask: Ask, library: Library) -> dict[str, Any]:
    """The molar mass in g/mol and the atoms of each element; refuses a formula that can be read in two ways."""
    formula = _formula(ask.text("formula"), library, ask.field("formula"))
    low, high = formula.molar_mass_range_g_mol
    return {
        "molar_mass_g_mol": formula.molar_mass_g_mol,
        "elements": {symbol: _plain(count) for symbol, count in formula.numbers.items()},
        "read_as": pretty(formula.text),
        "molar_mass_low_g_mol": low,
        "molar_mass_high_g_mol": high,
        "working": _working(formula, low, high),
    }


def _formula(typed: str, library: Library, field: str) -> Formula:
    """The formula as typed, or that of a target by its slug or of a reagent by its slug or name."""
    try:
        return parse(typed)
    except Refusal:
        row = library.targets.get(typed)
        return parse(row.formula) if row is not None else substance(typed, library, field).formula


def _plain(count: float) -> int | float:
    return int(count) if count == int(count) else count


def _working(formula: Formula, low: float, high: float) -> list[dict[str, Any]]:
    steps = [step(_("{typed} is read as {text}.", typed=formula.text.strip(), text=pretty(formula.text)))]
    before_dot = count_read(formula.text)
    steps += [step(before_dot)] if before_dot is not None else []
    for symbol, count in formula.numbers.items():
        say = f"{symbol}: {count:g} × {G_MOL[symbol]:g} g/mol"
        steps.append(step(say, count * G_MOL[symbol], "g/mol", SOURCE))
    steps.append(step(_("The sum of these is the molar mass."), formula.molar_mass_g_mol, "g/mol"))
    spread = _(
        "Natural materials: {low:.6g} to {high:.6g} g/mol, because some atomic weights vary.",
        low=low,
        high=high,
    )
    steps.append(step(spread, high - low, "g/mol", SOURCE))
    return steps


KIND = Kind(
    name="molar-mass",
    summary="the mass of a mole of a formula, and the atoms it was read as",
    fields=(Field("formula", "formula", "For example CuSO4*5H2O, 2ZnCO3*3Zn(OH)2 or Zn1.5FeTi0.5O4."),),
    example={"formula": "CuSO4*5H2O"},
    run=run,
)
