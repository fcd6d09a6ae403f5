"""`gas`: what charges give off on the way up, and at which heat."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from bench.reckoning import charges
from bench.reckoning import gas_most as most
from bench.reckoning.ask import Ask
from bench.reckoning.ask import shown as shown_as
from bench.reckoning.charges import Ingredient
from bench.reckoning.gas_most import Most
from bench.reckoning.kind import Field, Kind
from bench.reckoning.water import said
from bench.reckoning.working import Step, step
from bench.reference import Library
from bench.reference.provenance import is_from_memory
from bench.science.evolution import GAS_G_MOL, L_PER_MOL_25C, summed
from bench.science.evolution import Step as GasStep
from bench.science.gas_bounds import AROUND, around, gas_g_mol
from bench.science.refusal import Refusal
from bench.translation import _


def run(ask: Ask, library: Library) -> dict[str, Any]:
    """Gas by kind, with the temperatures between which it comes where they are known; negative is taken up.

    `evolved` holds what is certain, in balance with the mass; a gas that may come beside it stands there too with
    `bound` up-to. `up_to_g` is the most of each. Alternatives and fumes stand apart; `counted_once` is what to hold
    against limits.
    """
    items = ask.asks("charges", 1, charges.MOST_LINES)
    chosen = charges.choices(ask)
    beside = _beside(ask)
    ingredients = [charges.ingredient(item, library, chosen) for item in items]
    grams = [item.number("g", low=0, high=charges.MOST_G) for item in items]
    charges.refuse_if_dangerous([each.substance for each in ingredients], library, field="charges")
    there = beside | around(each.formula for each in ingredients)
    given = [_given(each, g, library, there) for each, g in zip(ingredients, grams, strict=True)]
    steps = [part for one in given for part in one.steps]
    every = [given, *_outer(ingredients, grams, library, there)]
    evolved = [*_certain(every), *_may_come(every)]
    others = [one for each in given for one in each.most]
    fumes = _together(one for one in others if most.is_fume(one))
    shown = [one["gas"] for one in evolved if one["up_to_g"] > 0] + [f["gas"] for f in fumes if f["form"] == "vapour"]
    return {
        "evolved": evolved,
        "alternatives": _beyond_evolved(_together(one for one in others if most.is_alternative(one)), evolved),
        "fumes": fumes,
        "counted_once": _counted_once(every, library),
        "cautions": most.cautions(shown),
        "steps": [_step(part) for part in sorted(steps, key=_start)],
        "flags": charges.flags([each.substance for each in ingredients], library),
        "working": [*_working(ingredients, grams, steps), *_bound_working(evolved, shown)],
    }


def _beside(ask: Ask) -> frozenset[str]:
    """What else lies in the same load, by the words of the field."""
    typed = ask.list_of("around", 0, len(AROUND), [])
    for one in typed:
        if one not in AROUND:
            raise Refusal(
                _("around names {around}; {one} is none of them.", around=", ".join(AROUND), one=shown_as(one)),
                "around",
            )
    return frozenset(typed)


@dataclass(frozen=True)
class Given:
    """What one charge gives: its certain steps, their windows’ ground, and all bounds."""

    steps: list[GasStep]
    remembered: bool
    most: list[Most]


def _given(each: Ingredient, g: float, library: Library, there: frozenset[str], purity: float | None = None) -> Given:
    row = each.substance.row
    remembered = row is None or is_from_memory(row, "gas_steps")
    return Given(each.gas_steps(g, purity), remembered, most.most_of(each, each.line(g, purity).mol, library, there))


def _outer(
    ingredients: Sequence[Ingredient], grams: Sequence[float], library: Library, there: frozenset[str]
) -> list[list[Given]]:
    """What all give when each jar of unknown water is at its wettest, and at its driest; empty where all is known."""
    if not any(each.water is not None and not each.water.known for each in ingredients):
        return []
    found = []
    for end in ("wettest", "driest"):
        pairs = zip(ingredients, grams, strict=True)
        shares = [(each, g, getattr(each.water, end) if each.water else None) for each, g in pairs]
        found.append([_given(each, g, library, there, share) for each, g, share in shares])
    return found


def _up_to_mol(every: Sequence[Sequence[Given]]) -> dict[str, float]:
    """The most of each gas over what may be in the jars: what is certain, and what the bounds give beyond."""
    found: dict[str, float] = {}
    for given in every:
        mol = summed((part.gas, part.mol) for one in given for part in one.steps)
        for one in given:
            for gas, (more, _mol, _source) in most.beyond(one.steps, one.most).items():
                mol[gas] = max(mol.get(gas, 0.0), 0.0) + more
        for gas, amount in mol.items():
            found[gas] = max(found.get(gas, amount), amount)
    return found


def _certain(every: Sequence[Sequence[Given]]) -> list[dict[str, Any]]:
    """The gases that are in balance with the mass, each with the most of it."""
    given = every[0]
    steps = [part for one in given for part in one.steps]
    totals = summed((part.gas, part.mol) for part in steps)
    up_to = _up_to_mol(every)
    memory = {part.gas for one in given if one.remembered for part in one.steps}
    rows = [_total(gas, mol, steps) for gas, mol in totals.items()]
    for row in rows:
        timed = row["from_c"] is not None or row["to_c"] is not None
        basis = ("memory" if row["gas"] in memory else "read") if timed else None
        row |= {"up_to_g": up_to[row["gas"]] * GAS_G_MOL[row["gas"]], "bound": None, "window_basis": basis}
        row |= {"counts_once_in": most.ELEMENT_OF.get(row["gas"]), "only_with": None}
    return rows


def _may_come(every: Sequence[Sequence[Given]]) -> list[dict[str, Any]]:
    """The gases that no certain step gives, as bounds."""
    certain = set(summed((part.gas, part.mol) for one in every[0] for part in one.steps))
    up_to = _up_to_mol(every)
    found: dict[str, list[tuple[float, most.Window, list[Most]]]] = {}
    for one in every[0]:
        for gas, way in most.beyond(one.steps, one.most).items():
            if gas not in certain:
                found.setdefault(gas, []).append(way)
    return [_bound_row(gas, up_to[gas], ways) for gas, ways in found.items()]


def _bound_row(gas: str, mol: float, ways: Sequence[tuple[float, most.Window, list[Most]]]) -> dict[str, Any]:
    window = most.widest([each[1] for each in ways])
    rules = [one for each in ways for one in each[2]]
    only = list(dict.fromkeys(need for one in rules if (need := most.missing(one))))
    return {
        "gas": gas,
        "g": mol * gas_g_mol(gas),
        "l_25c": mol * L_PER_MOL_25C,
        "from_c": window.from_c,
        "to_c": window.to_c,
        "up_to_g": mol * gas_g_mol(gas),
        "bound": most.UP_TO,
        "window_basis": most.window_basis(window),
        "counts_once_in": rules[0].rule.counts_once_in,
        "only_with": _(" or ").join(only) or None,
    }


def _together(found: Iterable[Most]) -> list[dict[str, Any]]:
    """Alternatives or fumes summed by gas, with the widest window."""
    gathered: dict[tuple[str, str], list[Most]] = {}
    for one in found:
        gathered.setdefault((one.rule.gas, one.rule.form), []).append(one)
    rows = []
    for ways in gathered.values():
        row, window = most.row_of(ways[0]), most.widest([one.window for one in ways])
        row |= {"from_c": window.from_c, "to_c": window.to_c, "window_basis": most.window_basis(window)}
        rows.append(row | {"up_to_g": sum(one.g for one in ways), "l_25c": _litres(ways)})
    return rows


def _beyond_evolved(found: list[dict[str, Any]], evolved: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    """The alternatives that are not all there already, because the maker chose them."""
    there = {one["gas"]: one["up_to_g"] for one in evolved}
    return [one for one in found if one["up_to_g"] > there.get(one["gas"], 0.0) * (1 + 1e-9)]


def _litres(ways: Sequence[Most]) -> float | None:
    return sum(one.mol for one in ways) * L_PER_MOL_25C if ways[0].rule.form == "gas" else None


def _counted_once(every: Sequence[Sequence[Given]], library: Library) -> list[dict[str, Any]]:
    """Grams by gas to hold against limits: each element of each charge once, as the worse of its gases."""
    worst: dict[str, float] = {}
    for given in every:
        grams: dict[str, float] = {}
        for one in given:
            for gas, g in most.counted_once(one.steps, one.most, library).items():
                grams[gas] = grams.get(gas, 0.0) + g
        worst |= {gas: max(worst.get(gas, 0.0), g) for gas, g in grams.items()}
    return [{"gas": gas, "g": g} for gas, g in worst.items()]


def _bound_working(evolved: Sequence[dict[str, Any]], shown: Sequence[str]) -> list[Step]:
    """What the bounds mean, where any is shown."""
    steps = [step(most.UP_TO_SAY), step(most.ONCE_SAY)] if any(one["bound"] for one in evolved) else []
    for one in evolved:
        if one["bound"]:
            need = _(", with {beside} beside it", beside=one["only_with"]) if one["only_with"] else ""
            steps.append(
                step(
                    _("Up to, by the atoms that the charges hold{need}: {gas}", need=need, gas=one["gas"]),
                    one["g"],
                    "g",
                    "ciaaw",
                )
            )
    return [*steps, *(step(say) for say in most.cautions(shown))]


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
        working.append(step(_("Where no temperatures are on record, none are given.")))
    if any(part.mol < 0 for part in steps):
        working.append(step(_("A negative amount is taken up from the air.")))
    working.append(
        step(_("Each charge is followed alone, to the highest heat. Reactions between charges may give gas earlier."))
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
        Field("around", "list", "What else lies in the same load: charcoal, silica, hot oxide.", False, None),
        Field("choices", "object", "chlorine HCl or Cl2, nitrogen NO2 or N2, sulfur SO2 or SO3.", False, None),
    ),
    example={"charges": [{"formula": "Cu2CO3(OH)2", "g": 4.46}, {"formula": "CaCO3", "g": 4.03}]},
    run=run,
)
