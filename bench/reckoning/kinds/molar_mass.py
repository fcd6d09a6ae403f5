"""`molar-mass`: the mass of a mole, and what the formula was read as."""

from typing import TYPE_CHECKING, Any

from bench.reckoning.ask import Ask
from bench.reckoning.kind import Field, Kind
from bench.reckoning.working import step
from bench.science.formulas import Formula, parse, pretty
from bench.science.refusal import Refusal
from bench.science.weights import G_MOL, SOURCE

if TYPE_CHECKING:
    from bench.reference import Library


def run(ask: Ask, library: "Library") -> dict[str, Any]:
    """The molar mass in g/mol and the atoms of each element; refuses a formula that can be read in two ways."""
    formula = _formula(ask.text("formula"), library)
    low, high = formula.molar_mass_range_g_mol
    return {
        "molar_mass_g_mol": formula.molar_mass_g_mol,
        "elements": {symbol: _plain(count) for symbol, count in formula.numbers.items()},
        "read_as": pretty(formula.text),
        "molar_mass_low_g_mol": low,
        "molar_mass_high_g_mol": high,
        "working": _working(formula, low, high),
    }


def _formula(typed: str, library: "Library") -> Formula:
    """The formula as typed, or that of a reagent or target named by its slug."""
    try:
        return parse(typed)
    except Refusal:
        row = library.reagents.get(typed) or library.targets.get(typed)
        if row is None:
            raise
        return parse(row.formula)


def _plain(count: float) -> int | float:
    return int(count) if count == int(count) else count


def _working(formula: Formula, low: float, high: float) -> list[dict[str, Any]]:
    steps = [step(f"{formula.text.strip()} is read as {pretty(formula.text)}.")]
    for symbol, count in formula.numbers.items():
        say = f"{symbol}: {count:g} × {G_MOL[symbol]:g} g/mol"
        steps.append(step(say, count * G_MOL[symbol], "g/mol", SOURCE))
    steps.append(step("The sum of these is the molar mass.", formula.molar_mass_g_mol, "g/mol"))
    spread = "Natural materials lie between {:.6g} and {:.6g} g/mol, because the weights of some elements vary."
    steps.append(step(spread.format(low, high), high - low, "g/mol", SOURCE))
    return steps


KIND = Kind(
    name="molar-mass",
    summary="the mass of a mole of a formula, and the atoms it was read as",
    fields=(Field("formula", "formula", "For example CoCl2*6H2O, 2CoCO3*3Co(OH)2 or Co0.8Zn0.2Al2O4."),),
    example={"formula": "CoCl2*6H2O"},
    run=run,
)
