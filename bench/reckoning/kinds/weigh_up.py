"""`weigh-up`: from a target and its mass to the grams of each reagent, and what becomes of them."""

from typing import Any

from bench.reckoning import charges
from bench.reckoning.ask import Ask
from bench.reckoning.kind import Field, Kind
from bench.reckoning.plan import Plan, planned
from bench.reckoning.plan_working import working
from bench.reckoning.spread import jar_spread, premixes, smallest_product_g, weighing_errors
from bench.reckoning.water import ranges
from bench.reference import Library
from bench.science.charge import grams
from bench.science.evolution import GAS_G_MOL, summed


def run(ask: Ask, library: Library) -> dict[str, Any]:
    """Grams to weigh, gas, fired and washed mass; refuses what no reagent brings and what is never planned here."""
    plan = planned(ask, library)
    balance_d_g = ask.number("balance_d_g", above=0, high=100, default=None)
    result = plan.outcome
    charge_without_salt_g = result.charge_g - sum(
        g for g, each in zip(plan.weigh_g, plan.ingredients, strict=True) if each.fate == "washed-out"
    )
    errors = weighing_errors(plan, balance_d_g)
    smallest = smallest_product_g(plan, balance_d_g)
    return {
        "weigh_g": list(plan.weigh_g),
        "charge_g": result.charge_g,
        "product_g": result.target_g,
        "fired_g": result.fired_g,
        "fired_unwashed_g": None if result.salt_volatile else result.fired_g + result.salt_g,
        "washed_g": result.washed_g,
        **ranges(result, plan.outer),
        "rest_is_water": [each.water is not None for each in plan.ingredients],
        "loss_on_ignition_pct": charges.loss_pct(charge_without_salt_g, result.fired_g),
        "evolved": charges.evolved(result.gas_mol, result.gas_g, plan.outer),
        "evolved_by_reagent": _by_reagent(plan),
        "excess": plan.excess,
        "short": plan.short,
        "left_over": [
            {"oxide": part.formula, "g": part.mol * grams(part.atoms), "washes_out": part.soluble}
            for part in result.left_over
        ],
        "weighing_error_pct": errors,
        "smallest_sensible_product_g": smallest,
        "premix": premixes(plan, balance_d_g),
        "jar_spread": jar_spread(plan, ask),
        "flags": charges.flags([each.substance for each in plan.ingredients], library),
        "working": working(plan, balance_d_g, smallest),
    }


def _by_reagent(plan: Plan) -> list[dict[str, Any]]:
    """The gas of each reagent on its own in the fire; oxygen closes each balance."""
    found = []
    for each, g in zip(plan.ingredients, plan.weigh_g, strict=True):
        mol = summed((part.gas, part.mol) for part in each.gas_steps(g))
        gas_g = {gas: amount * GAS_G_MOL[gas] for gas, amount in mol.items()}
        found.append({"formula": each.name, "evolved": charges.evolved(mol, gas_g)})
    return found


KIND = Kind(
    name="weigh-up",
    summary="grams of each reagent for a target, with gas, fired mass and washed mass",
    fields=(
        Field("target", "formula", "The phase that is wanted, by formula or by the slug of the reference library."),
        Field("product_g", "g", "How much of it is wanted, in theory."),
        Field("reagents", "list", "The jars, each an object with the fields below."),
        Field("reagents[].formula", "formula", "What is in the jar, by formula or slug."),
        Field("reagents[].assay_pct", "%", "How much of the jar it is, by mass.", False, 100),
        Field("reagents[].assay_of", "formula", "What assay_pct counts, such as Co or MgO.", False, None),
        Field("reagents[].share", "share", "Its part of the element that several jars bring.", False, None),
        Field("reagents[].fate", "word", f"{charges.FATES_SAY}.", False, "reacts"),
        Field("reagents[].g", "g", "A fixed amount.", False, None),
        Field(
            "reagents[].parts",
            "parts",
            "A fixed amount by mass, relative to the other parts (see working).",
            False,
        ),
        Field("reagents[].mol", "mol", "A fixed amount.", False, None),
        Field(
            "reagents[].hydrate_known", "true/false", "False: show the range over the possible hydrates.", False, True
        ),
        Field("reagents[].assay_rest", "word", "stays, or water: what assay_pct leaves over.", False, None),
        Field("reagents[].assay_sd_pct", "%", "Standard deviation of assay_pct.", False, None),
        Field("balance_d_g", "g", "The balance's readability: its last digit.", False, None),
        Field("choices", "object", "chlorine HCl or Cl2, nitrogen NO2 or N2, sulfur SO2 or SO3.", False, None),
    ),
    example={
        "target": "Zn1.5FeTi0.5O4",
        "product_g": 20,
        "reagents": [{"formula": "ZnO", "assay_pct": 99.7}, {"formula": "FeOOH"}, {"formula": "TiO2"}],
        "balance_d_g": 0.01,
    },
    run=run,
)
