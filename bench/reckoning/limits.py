"""Exposure limits of a gas: which gas is meant, in which unit and by which part of it each limit counts."""

from typing import Any

from bench.reckoning.ask import shown
from bench.reference import Library
from bench.reference.surroundings import Gas, Limit
from bench.science.exposure import Exposure, mg_m3
from bench.science.formulas import parsed
from bench.science.refusal import Refusal
from bench.translation import _

PERIODS = {"8h": ("8h",), "short": ("short", "ceiling"), "danger": ("danger",)}


def gas_named(typed: str, library: Library) -> Gas:
    """The gas of a formula or a name; raises Refusal that lists those with limits on record."""
    if typed in library.gases:
        return library.gases[typed]
    for gas in library.gases.values():
        names = (gas.slug, gas.name, *gas.formula_words.split("/"))
        if typed.casefold() in (name.strip().casefold() for name in names):
            return gas
    raise Refusal(
        _(
            "No limits are on record for {typed}; there are {gases}.",
            typed=shown(typed),
            gases=", ".join(library.gases),
        ),
        "gas",
    )


def molar_mass_g_mol(gas: Gas) -> float | None:
    """Grams per mole: by the formula, or as on record."""
    formula = parsed(gas.slug)
    return formula.molar_mass_g_mol if formula is not None else gas.molar_mass_g_mol


def mass_factor(gas: Gas, limit: Limit) -> float:
    """What a gram of the gas weighs as the thing that a limit counts, such as Cr in CrO3 or H2SO4 from SO3."""
    counted = parsed(limit.counted_as.split(",")[0].strip().removesuffix("(VI)"))
    own = parsed(gas.slug)
    if counted is None or own is None:
        return 1.0
    key = next((symbol for symbol in counted.numbers if symbol not in ("O", "H") and symbol in own.numbers), None)
    if key is None:
        return 1.0
    return own.numbers[key] / counted.numbers[key] * counted.molar_mass_g_mol / own.molar_mass_g_mol


def limit_mg_m3(gas: Gas, limit: Limit) -> float | None:
    """A limit in mg/m³ of the gas itself; None where the units cannot be turned."""
    mass = molar_mass_g_mol(gas)
    if limit.unit == "ppm":
        return mg_m3(limit.value, mass) if mass else None
    return limit.value / mass_factor(gas, limit) if limit.unit == "mg/m3" else None


def strictest_mg_m3(gas: Gas, period: str) -> "tuple[float, Limit] | None":
    """The lowest limit of a period (8h, short, danger), as mg/m³ of the gas and as published."""
    known = [(mass, each) for each in gas.limits if each.period in PERIODS[period] and (mass := limit_mg_m3(gas, each))]
    return min(known, key=lambda pair: pair[0]) if known else None


def strictest(gas: Gas, period: str) -> dict[str, Any] | None:
    """The lowest limit of a period with its body and year, for an answer."""
    found = strictest_mg_m3(gas, period)
    return _written(found[1]) if found else None


def limits_against(gas: Gas, found: Exposure | None) -> list[dict[str, Any]]:
    """Each limit with body and year, and whether the estimate exceeds it; null where there is no estimate."""
    answers = []
    for limit in gas.limits:
        mass = limit_mg_m3(gas, limit)
        exceeded: bool | None = None
        if found is not None and mass is not None:
            exceeded = (found.twa8h_mg_m3 if limit.period == "8h" else found.peak_mg_m3) > mass
        answers.append({**_written(limit), "exceeded": exceeded})
    return answers


def _written(limit: Limit) -> dict[str, Any]:
    return {
        "name": limit.name,
        "value": limit.value,
        "unit": limit.unit,
        "body": limit.body,
        "year": limit.year,
        "counted_as": limit.counted_as or None,
        "basis": limit.basis,
    }
