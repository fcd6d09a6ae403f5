"""Reads the lines of a charge from an ask: what each is, how pure, what becomes of it, and how much of it is fixed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from bench.reckoning.ask import Ask
from bench.reckoning.rules import Part
from bench.reckoning.substances import Substance, substance
from bench.reckoning.water import CRYSTAL_C, Water, most_g, water_of
from bench.reckoning.working import Step, step
from bench.reference import Library
from bench.reference.provenance import claims_for
from bench.science.charge import FATES, Line, Outcome
from bench.science.evolution import L_PER_MOL_25C, Choices, Evolution
from bench.science.evolution import Step as GasStep
from bench.science.formulas import Formula, parse
from bench.science.refusal import Refusal
from bench.translation import _

MOST_G: Final = 1e6
MOST_LINES: Final = 40
WEIGHTS_SOURCE: Final = "ciaaw"
GAS_VOLUME_SAY: Final = _("Gas volumes are at 25 °C and 1 atm: 24.465 L/mol.")
FATES_SAY: Final = "reacts, washed-out, burns-out, or stays (its residue remains outside the target)"


@dataclass(frozen=True)
class Ingredient:
    """One line as asked: the substance, its purity (0 to 1), its fate, what it does in the fire, and its place.

    `water` is there where what the assay leaves over is water; the purity may then be a little above 1.
    """

    substance: Substance
    purity: float
    fate: str
    evolution: Evolution
    field: str
    water: Water | None = None

    @property
    def name(self) -> str:
        """The line as typed."""
        return self.substance.typed

    @property
    def formula(self) -> Formula:
        """The formula of the substance."""
        return self.substance.formula

    def line(self, g: float, purity: float | None = None) -> Line:
        """The line with this many grams as weighed; with another purity than the assay's where one is given."""
        formula = self.formula
        share = self.purity if purity is None else purity
        mass = formula.molar_mass_g_mol
        return Line(self.name, g, share, formula.numbers, mass, self.evolution, self.fate, self.water is not None)

    def gas_steps(self, g: float, purity: float | None = None) -> list[GasStep]:
        """What these grams give off on their own, step by step, with the water that the assay leaves over."""
        line = self.line(g, purity)
        steps = [GasStep(one.gas, one.mol * line.mol, one.from_c, one.to_c) for one in self.evolution.steps]
        own = sum(one.mol for one in steps if one.gas == "H2O")
        if line.water_mol and own > 0:  # it leaves with the water that the formula names
            times = 1 + line.water_mol / own
            return [replace(one, mol=one.mol * times) if one.gas == "H2O" else one for one in steps]
        return [*steps, GasStep("H2O", line.water_mol, *CRYSTAL_C)] if line.water_mol else steps

    def g_of(self, mol: float) -> float:
        """The grams to weigh that hold this many moles of the substance."""
        return mol * self.formula.molar_mass_g_mol / self.purity

    def mol_in(self, g: float) -> float:
        """The moles of the substance in these grams."""
        return g * self.purity / self.formula.molar_mass_g_mol


def choices(ask: Ask) -> Choices:
    """The gases that the maker chose to stand for chlorine, nitrogen and sulfur."""
    inner = ask.inner("choices", None)
    if inner is None:
        return Choices()
    return Choices(
        inner.choice("chlorine", ("HCl", "Cl2"), None),
        inner.choice("nitrogen", ("NO2", "N2"), None),
        inner.choice("sulfur", ("SO2", "SO3"), None),
    )


def ingredient(item: Ask, library: Library, chosen: Choices) -> Ingredient:
    """One line: `formula`, `assay_pct` (of the formula, or of what `assay_of` names), `fate`."""
    typed = item.text("formula")
    found = substance(typed, library, item.field("formula"))
    fate = item.choice("fate", FATES, "reacts")
    evolution = found.in_the_fire(chosen)
    left = [symbol for symbol, count in evolution.residue.items() if count > 0]
    if fate == "burns-out" and left:
        say = _(
            "{typed} leaves {left} behind, so it cannot burn out. Choose another fate.",
            typed=typed,
            left=_(" and ").join(left),
        )
        raise Refusal(say, item.field("fate"))
    pct: float = item.number("assay_pct", above=0, high=110, default=100.0)
    water = water_of(item, found, pct / 100)
    purity = _purity(item, found.formula, pct, water is not None)
    if water is not None and water.known:
        water = Water(purity, purity)
    return Ingredient(found, purity, fate, evolution, item.path, water)


def _purity(item: Ask, formula: Formula, pct: float, less_water: bool) -> float:
    """The share of the jar that is the formula: 0 to 1, or above where the jar may hold less water than it names."""
    of = item.text("assay_of", default=None)
    if of is None:
        if pct > 100 and not less_water:
            raise Refusal(_("assay_pct is per cent of the formula: at most 100."), item.field("assay_pct"))
        return pct / 100
    part = parse(of, item.field("assay_of"))
    key = next((symbol for symbol in part.counts if symbol != "O"), None)
    if key is None or key not in formula.counts:
        raise Refusal(_("{text} holds none of {of}.", text=formula.text, of=of), item.field("assay_of"))
    whole = float(formula.counts[key] / part.counts[key]) * part.molar_mass_g_mol / formula.molar_mass_g_mol
    if pct / 100 > whole * 1.0005:
        say = _(
            "Pure {text} holds {whole:.2f} % {of}, so {pct:g} % is impossible. Is it another compound?",
            text=formula.text,
            whole=100 * whole,
            of=of,
            pct=pct,
        )
        raise Refusal(say, item.field("assay_pct"))
    return min(pct / 100 / whole, 1.0)


def parts_of(substances: Sequence[Substance]) -> list[Part]:
    """The substances as the rules see them."""
    from bench.reckoning.rules import Part

    rows = ((found, found.row.slug if found.row is not None else None) for found in substances)
    return [Part(found.formula.text, found.typed, slug) for found, slug in rows]


def flags(substances: Sequence[Substance], library: Library) -> list[str]:
    """What has to be asked of these lines before anything is weighed, in a sentence each: the sums stand as typed."""
    from bench.reckoning.rules import forms_to_choose

    return forms_to_choose(parts_of(substances), library)


def refuse_if_dangerous(
    substances: Sequence[Substance],
    library: Library,
    target: tuple[Formula, str, str | None] | None = None,
    field: str = "reagents",
) -> None:
    """Refuses what is never planned here: by element, by chromate state, by combination over all lines."""
    from bench.reckoning.rules import Part
    from bench.reckoning.rules import refuse_if_dangerous as refuse

    parts = parts_of(substances)
    if target is not None:
        formula, typed, slug = target
        parts.append(Part(formula.text, typed, slug, None, "target"))
    refuse(parts, library, field)


def evolved(
    gas_mol: Mapping[str, float], gas_g: Mapping[str, float], outer: Sequence[Outcome] = ()
) -> list[dict[str, Any]]:
    """Gases as they stand in an answer; a negative amount is taken up from the air.

    `outer` are the outcomes at the ends of what is not known of the water: `up_to_g` is the most of a gas over them.
    """
    every = [gas_g, *(each.gas_g for each in outer)]
    gases = dict.fromkeys([*gas_mol, *(gas for each in outer for gas in each.gas_mol)])
    return [
        {"gas": gas, "g": gas_g.get(gas, 0.0), "l_25c": gas_mol.get(gas, 0.0) * L_PER_MOL_25C}
        | ({"up_to_g": most_g(gas, every)} if outer else {})
        for gas in gases
    ]


def loss_pct(charge_g: float, fired_g: float) -> float | None:
    """The loss on ignition in % of the charge, without the noise of binary fractions; negative is a gain."""
    return round(100 * (charge_g - fired_g) / charge_g, 9) + 0.0 if charge_g > 0 else None


def assumed(ingredients: Sequence[Ingredient]) -> list[Step]:
    """A step for each thing that was assumed about the lines in the fire."""
    said: dict[str, Step] = {}
    for each in ingredients:
        row = each.substance.row
        if each.evolution.assumed:
            said[each.name] = step(each.evolution.assumed)
        elif row is not None and each.evolution.steps:
            known = _(" and ").join(sorted({part.gas for part in each.evolution.steps if part.mol > 0}))
            what = (
                _("{name} gives off {known}", name=each.name, known=known)
                if known
                else _("{name} takes up oxygen", name=each.name)
            )
            claims = claims_for(row, "gas_steps")
            ground = _("partly read") if claims else _("from memory")
            say = _("{what}, by its row in the reference data ({ground}).", what=what, ground=ground)
            said[each.name] = step(say, source=claims[0].sources[0] if claims else None)
    return list(said.values())


def impurity(result: Outcome) -> list[Step]:
    """A step on the impurities, if there are any."""
    if result.impurity_g <= 1e-9 * result.charge_g:
        return []
    say = _("The rest beside the assays counts as staying. If it is moisture, the fired mass is that much less.")
    return [step(say, result.impurity_g, "g")]


def gas_balance(result: Outcome) -> list[Step]:
    """Steps on oxygen or other gas taken up, and on the reference of the volumes."""
    steps = []
    for gas, g in result.gas_g.items():
        if g < 0:
            steps.append(step(_("{gas} is taken up from the air (negative).", gas=gas), g, "g"))
    if result.gas_mol:
        steps.append(step(GAS_VOLUME_SAY, L_PER_MOL_25C, "L/mol", "codata-r"))
    return steps
