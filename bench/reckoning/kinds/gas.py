"""`gas`: what charges give off on the way up, and at which heat."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from bench.reckoning import charges
from bench.reckoning.ask import Ask
from bench.reckoning.charges import Ingredient
from bench.reckoning.kind import Field, Kind
from bench.reckoning.water import most_g, said
from bench.reckoning.working import Step, step
from bench.science.evolution import GAS_G_MOL, L_PER_MOL_25C, summed
from bench.science.evolution import Step as GasStep

if TYPE_CHECKING:
    from bench.reference import Library


def run(ask: Ask, library: "Library") -> dict[str, Any]:
    """Gas by kind, with the temperatures between which it comes where they are known; negative is taken up."""
    items = ask.asks("charges", 1, charges.MOST_LINES)
    chosen = charges.choices(ask)
    ingredients = [charges.ingredient(item, library, chosen) for item in items]
    grams = [item.number("g", low=0, high=charges.MOST_G) for item in items]
    charges.refuse_if_dangerous([each.substance for each in ingredients], library, field="charges")
    steps = [part for each, g in zip(ingredients, grams, strict=True) for part in each.gas_steps(g)]
    totals = summed((part.gas, part.mol) for part in steps)
    outer = _outer(ingredients, grams)
    return {
        "evolved": [_total(gas, mol, steps) | _most(gas, mol, outer) for gas, mol in totals.items()],
        "steps": [_step(part) for part in sorted(steps, key=_start)],
        "working": _working(ingredients, grams, steps),
    }


def _outer(ingredients: Sequence[Ingredient], grams: Sequence[float]) -> list[dict[str, float]]:
    """The gas in mol when each jar of unknown water is at its wettest, and at its driest; empty where all is known."""
    if not any(each.water is not None and not each.water.known for each in ingredients):
        return []
    found = []
    for end in ("wettest", "driest"):
        pairs = zip(ingredients, grams, strict=True)
        shares = [(each, g, getattr(each.water, end) if each.water else None) for each, g in pairs]
        found.append(summed((part.gas, part.mol) for each, g, share in shares for part in each.gas_steps(g, share)))
    return found


def _most(gas: str, mol: float, outer: Sequence[dict[str, float]]) -> dict[str, float]:
    return {"up_to_g": most_g(gas, [{gas: mol}, *outer]) * GAS_G_MOL[gas]} if outer else {}


def _total(gas: str, mol: float, steps: Sequence[GasStep]) -> dict[str, Any]:
    """One gas over all steps; its temperatures span the steps that give it off, None where one is not known."""
    own = [part for part in steps if part.gas == gas and part.mol * mol > 0]
    starts = [part.from_c for part in own]
    ends = [part.to_c for part in own]
    return {
        "gas": gas,
        "g": mol * GAS_G_MOL[gas],
        "l_25c": mol * L_PER_MOL_25C,
        "from_c": None if None in starts else min((c for c in starts if c is not None), default=None),
        "to_c": None if None in ends else max((c for c in ends if c is not None), default=None),
    }


def _step(part: GasStep) -> dict[str, Any]:
    return {
        "gas": part.gas,
        "g": part.mol * GAS_G_MOL[part.gas],
        "l_25c": part.mol * L_PER_MOL_25C,
        "from_c": part.from_c,
        "to_c": part.to_c,
    }


def _start(part: GasStep) -> tuple[float, str]:
    return (part.from_c if part.from_c is not None else float("inf"), part.gas)


def _working(ingredients: Sequence[Ingredient], grams: Sequence[float], steps: Sequence[GasStep]) -> list[Step]:
    working = []
    for each, g in zip(ingredients, grams, strict=True):
        say = f"{each.name}: {g:g} g × {100 * each.purity:.4g} % ÷ {each.formula.molar_mass_g_mol:.4f} g/mol"
        working.append(step(say, each.mol_in(g), "mol", charges.WEIGHTS_SOURCE))
    working += [*said(ingredients, grams), *charges.assumed(ingredients)]
    if any(part.from_c is None for part in steps):
        working.append(step("Where no temperatures are on record, none are given."))
    if any(part.mol < 0 for part in steps):
        working.append(step("A negative amount is taken up from the air."))
    working.append(
        step("Each charge is followed alone, to the highest heat: a reaction between charges may give gas earlier.")
    )
    working.append(step(charges.GAS_VOLUME_SAY, L_PER_MOL_25C, "L/mol", "codata-r"))
    return working


KIND = Kind(
    name="gas",
    summary="gas that charges give off, and between which temperatures",
    fields=(
        Field("charges", "list", "What is in the fire, each an object with the fields below."),
        Field("charges[].formula", "formula", "What it is, by formula or slug."),
        Field("charges[].g", "g", "How much of it."),
        Field("charges[].assay_pct", "%", "How much of it is the formula, by mass.", False, 100),
        Field("charges[].assay_sd_pct", "%", "Standard deviation of assay_pct.", False, None),
        Field("charges[].hydrate_known", "true/false", "False: its water is not known.", False, True),
        Field("charges[].assay_rest", "word", "stays, or water: what assay_pct leaves over.", False, None),
        Field("choices", "object", "chlorine HCl or Cl2, nitrogen NO2 or N2, sulfur SO2 or SO3.", False, None),
    ),
    example={"charges": [{"formula": "Cu2CO3(OH)2", "g": 4.46}, {"formula": "CaCO3", "g": 4.03}]},
    run=run,
)
