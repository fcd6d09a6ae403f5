"""`balance`: from the grams in the mortar to what they can become."""

from collections.abc import Mapping, Sequence
from typing import Any

from bench.reckoning import charges
from bench.reckoning.ask import Ask
from bench.reckoning.charges import Ingredient
from bench.reckoning.kind import Field, Kind
from bench.reckoning.ratio import ratio_error_pct, ratio_of
from bench.reckoning.substances import target
from bench.reckoning.water import ends, ranges, said
from bench.reckoning.working import Step, step
from bench.reference import Library
from bench.reference.surroundings import AIR_O2_PCT, OxideInAir
from bench.science.atmosphere import flame
from bench.science.batch import Source, formed_mol, missing, rows_of
from bench.science.charge import Outcome, grams, outcome, supplied
from bench.science.formulas import Formula, pretty
from bench.science.refusal import Refusal
from bench.science.usual_oxides import VOLATILE
from bench.translation import _

LEAST_O2_PCT = 0.5
"""Below this the boundaries are not carried on: the gas then reduces."""


def run(ask: Ask, library: Library) -> dict[str, Any]:
    """How much target the weighed grams can form, what is left beside it, and how far the ratio is off."""
    typed = ask.text("target")
    wanted, row = target(typed, library, "target")
    items = ask.asks("weighed", 1, charges.MOST_LINES)
    chosen = charges.choices(ask)
    ingredients = [charges.ingredient(item, library, chosen) for item in items]
    weighed_g = [item.number("g", low=0, high=charges.MOST_G) for item in items]
    charges.refuse_if_dangerous(
        [each.substance for each in ingredients],
        library,
        (wanted, typed, row.slug if row is not None else None),
        "weighed",
    )
    c = ask.number("c", low=0, high=3000, default=None)
    o2_pct = _oxygen(ask, c)
    balance_d_g = ask.number("balance_d_g", above=0, high=100, default=None)
    lines = [each.line(g) for each, g in zip(ingredients, weighed_g, strict=True)]
    brought = supplied(lines)
    _refuse_missing(wanted, ingredients, brought)
    formed, limiting = formed_mol(wanted.numbers, brought)
    standing = _standing(brought, c, o2_pct, library)
    oxides = {symbol: oxide.oxide for symbol, oxide in standing.items()}
    result = outcome(lines, wanted.numbers, formed, oxides)
    outer = ends(wanted, ingredients, weighed_g, oxides)
    salt_g = sum(line.g for line in lines if line.fate == "washed-out")
    charge_g = result.charge_g - salt_g
    rows = rows_of(wanted.numbers)
    errors = ratio_error_pct(rows, lines, items, balance_d_g)
    actual = ratio_of(rows, brought, wanted.numbers)
    return {
        "cations_mmol": {
            symbol: 1000 * mol for symbol, mol in brought.items() if symbol not in VOLATILE or symbol in rows
        },
        "limiting": limiting[0] if limiting else None,
        "target_g": result.target_g,
        "target_fraction_pct": 100 * result.target_g / result.fired_g if result.fired_g > 0 else None,
        "left_over": [_left(part, standing) for part in result.left_over],
        "fired_g": result.fired_g,
        "fired_unwashed_g": None if result.salt_volatile else result.fired_g + result.salt_g,
        "washed_g": result.washed_g,
        **ranges(result, outer),
        "rest_is_water": [each.water is not None for each in ingredients],
        "loss_on_ignition_pct": charges.loss_pct(charge_g, result.fired_g),
        "ratio_actual": actual,
        "ratio_target": {symbol: wanted.numbers[symbol] for symbol in rows},
        "ratio_error_pct": errors,
        "charge_g": result.charge_g,
        "evolved": charges.evolved(result.gas_mol, result.gas_g, outer),
        "flags": charges.flags([each.substance for each in ingredients], library),
        "working": [
            *_cations(wanted, ingredients, weighed_g),
            *_limits(wanted, brought, limiting, formed),
            *_oxides(result, standing, c, o2_pct),
            *_ratio(errors, balance_d_g),
            *charges.assumed(ingredients),
            *said(ingredients, weighed_g),
            *charges.impurity(result),
            *charges.gas_balance(result),
        ],
    }


def _refuse_missing(wanted: Formula, ingredients: Sequence[Ingredient], brought: Mapping[str, float]) -> None:
    reacting = [Source(each.name, each.formula.numbers) for each in ingredients if each.fate == "reacts"]
    absent = missing(wanted.numbers, reacting) if rows_of(wanted.numbers) else []
    if absent:
        raise Refusal(
            _("Nothing weighed here brings {absent}. The target needs it.", absent=_(" or ").join(absent)), "weighed"
        )
    if not rows_of(wanted.numbers):
        raise Refusal(_("{text} holds nothing that a reagent must bring.", text=wanted.text), "target")
    if not any(brought.values()):
        raise Refusal(_("Nothing that reacts has been weighed yet."), "weighed")


def _oxygen(ask: Ask, c: float | None) -> float:
    """The oxygen over the charge, in per cent: as given, or what the mixture of a propane flame leaves; else air's."""
    phi = ask.number("phi", above=0, high=1, default=None)
    if phi is None:
        return float(ask.number("o2_pct", low=LEAST_O2_PCT, high=100, default=AIR_O2_PCT))
    if ask.has("o2_pct") or c is None:
        raise Refusal(_("Give phi with c, the temperature, and without o2_pct."), "phi")
    left = flame(c, phi).o2_pct
    if left < LEAST_O2_PCT:
        raise Refusal(
            _("Such a flame leaves {left:.2g} % oxygen. Ask atmosphere whether it reduces.", left=left), "phi"
        )
    return float(f"{left:.3g}")


def _standing(brought: Mapping[str, float], c: float | None, o2_pct: float, library: Library) -> dict[str, OxideInAir]:
    """The oxide of each element that stands at the temperature in this oxygen, where the reference data says."""
    if c is None:
        return {}
    found = {symbol: library.oxide_in_air(symbol, c, o2_pct) for symbol in brought if symbol not in VOLATILE}
    return {symbol: oxide for symbol, oxide in found.items() if oxide is not None}


def _left(part: Any, standing: Mapping[str, OxideInAir]) -> dict[str, Any]:
    known = standing.get(part.element)
    hint = known.colour if known is not None and known.oxide == part.formula else None
    return {
        "oxide": part.formula,
        "g": part.mol * grams(part.atoms),
        "colour_hint": hint,
        "washes_out": part.soluble,
    }


def _cations(wanted: Formula, ingredients: Sequence[Ingredient], weighed_g: Sequence[float]) -> list[Step]:
    text = pretty(wanted.text)
    steps = [step(_("Molar mass of {text}", text=text), wanted.molar_mass_g_mol, "g/mol", charges.WEIGHTS_SOURCE)]
    for each, g in zip(ingredients, weighed_g, strict=True):
        pure = "" if each.purity == 1 else f" × {100 * each.purity:.4g} %"
        say = f"{each.name}: {g:g} g{pure} ÷ {each.formula.molar_mass_g_mol:.4f} g/mol"
        steps.append(step(say, 1000 * each.mol_in(g), "mmol", charges.WEIGHTS_SOURCE))
    return steps


def _limits(wanted: Formula, brought: Mapping[str, float], limiting: Sequence[str], formed: float) -> list[Step]:
    steps = [
        step(
            _("{symbol} would do for this much target", symbol=symbol),
            1000 * brought.get(symbol, 0.0) / wanted.numbers[symbol],
            "mmol",
        )
        for symbol in rows_of(wanted.numbers)
    ]
    say = (
        _("{limiting} limits.", limiting=_(" and ").join(limiting))
        if limiting
        else _("The elements are in the target's ratio: none limits.")
    )
    return [*steps, step(say, formed * wanted.molar_mass_g_mol, "g")]


def _oxides(result: Outcome, standing: Mapping[str, OxideInAir], c: float | None, o2_pct: float) -> list[Step]:
    steps = []
    where = _("air") if o2_pct == AIR_O2_PCT else _("{o2_pct:g} % oxygen", o2_pct=o2_pct)
    for part in result.left_over:
        known = standing.get(part.element)
        if known is not None and known.oxide == part.formula:
            sure = known.basis == "read"
            ground = known.basis if sure else _("{basis}: confirm what is from memory", basis=known.basis)
            say = _(
                "Excess {element} is {formula} in {where} at {c:g} °C ({ground}).",
                element=part.element,
                where=where,
                c=c,
                formula=pretty(part.formula),
                ground=ground,
            )
            steps.append(step(say, part.mol * grams(part.atoms), "g", known.sources[0] if known.sources else None))
        else:
            say = _(
                "Excess {element} is counted as {formula}, its usual state after a strong fire.",
                element=part.element,
                formula=pretty(part.formula),
            )
            steps.append(step(say, part.mol * grams(part.atoms), "g"))
    if result.left_over and c is None:
        steps.append(step(_("No temperature was given, so stable oxides and their colours are not named.")))
    return steps


def _ratio(errors: Mapping[str, float | None], balance_d_g: float | None) -> list[Step]:
    if balance_d_g is None and not any(errors.values()):
        return [step(_("No readability of the balance was given, so the ratio has no error."))]
    say = _("The ratio's error: the balance's last digit and the assays' spread (root of the sum of squares).")
    return [step(say)]


KIND = Kind(
    name="balance",
    summary="what weighed grams can become: target, left-over oxides, and the ratio against the target's",
    fields=(
        Field("weighed", "list", "What is in the mortar, each an object with the fields below."),
        Field("weighed[].formula", "formula", "What it is, by formula or slug."),
        Field("weighed[].g", "g", "Grams as weighed."),
        Field("weighed[].assay_pct", "%", "How much of it is the formula, by mass.", False, 100),
        Field("weighed[].assay_of", "formula", "What assay_pct counts, such as Co or MgO.", False, None),
        Field("weighed[].assay_sd_pct", "%", "Standard deviation of assay_pct.", False, None),
        Field("weighed[].hydrate_known", "true/false", "False: its water is not known.", False, True),
        Field("weighed[].assay_rest", "word", "stays, or water: what assay_pct leaves over.", False, None),
        Field("weighed[].fate", "word", f"{charges.FATES_SAY}.", False, "reacts"),
        Field("target", "formula", "The phase that was meant, by formula or slug."),
        Field("c", "°C", "The temperature, for the oxide that stands in air there.", False, None),
        Field("o2_pct", "%", "Oxygen in the furnace's gas: air 21, a gas furnace about 5.", False, 21),
        Field("phi", "ratio", "In place of o2_pct: fuel over what the air can burn, of a lean propane flame.", False),
        Field("balance_d_g", "g", "The balance's readability: its last digit.", False, None),
        Field("choices", "object", "chlorine HCl or Cl2, nitrogen NO2 or N2, sulfur SO2 or SO3.", False, None),
    ),
    example={
        "weighed": [{"formula": "FeOOH", "g": 5}, {"formula": "TiO2", "g": 5}],
        "target": "Fe2TiO5",
        "c": 1000,
        "balance_d_g": 0.01,
    },
    run=run,
)
