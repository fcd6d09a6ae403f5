"""What a substance leaves in the fire and what it gives off, in air: by known steps, or else by a general rule.

Every result is closed element by element: what does not stay leaves as a gas, and oxygen closes the balance; a negative
amount is taken up from the air. The general rule is common practice, from memory.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Final

from bench.science.formulas import Formula, group_count, parse
from bench.science.usual_oxides import HALOGENS, KEEPS_FLUORIDE, KEEPS_SALT, OXYGEN, VOLATILE, usual_oxide, valence
from bench.translation import _

L_PER_MOL_25C: Final = 24.465
"""Volume of a mole of gas at 25 °C and 1 atm, in litres: R·T/p with the CODATA gas constant."""

GASES: Final[Mapping[str, Mapping[str, float]]] = {
    name: parse(name).numbers
    for name in ("H2O", "CO2", "NH3", "NO2", "N2", "SO2", "SO3", "HCl", "Cl2", "HF", "HBr", "I2", "O2")
}
GAS_G_MOL: Final[Mapping[str, float]] = {name: parse(name).molar_mass_g_mol for name in GASES}
DEFAULT_GAS: Final = {"C": "CO2", "N": "N2", "S": "SO2", "F": "HF", "Cl": "HCl", "Br": "HBr", "I": "I2"}
"""The gas that an element leaves as where nothing else is known."""


@dataclass(frozen=True)
class Choices:
    """Which gas stands for an element: chlorine HCl or Cl2, nitrogen NO2 or N2 (from nitrate), sulfur SO2 or SO3.

    None keeps what the known steps say, or the general rule: HCl, NO2, SO3 from sulfate and SO2 from burning sulfur.
    """

    chlorine: str | None = None
    nitrogen: str | None = None
    sulfur: str | None = None

    def gas(self, known: str) -> str:
        """The gas chosen in place of a known one."""
        if known in ("HCl", "Cl2"):
            return self.chlorine or known
        if known in ("NO2", "N2"):
            return (self.nitrogen or known) if known == "NO2" else known
        if known in ("SO2", "SO3"):
            return self.sulfur or known
        return known


@dataclass(frozen=True)
class Step:
    """A gas in mol for a mole of substance (negative: taken up), and between which temperatures, where known."""

    gas: str
    mol: float
    from_c: float | None = None
    to_c: float | None = None


@dataclass(frozen=True)
class Evolution:
    """One mole of a substance in the fire: the atoms that stay, the gases, and what was assumed (empty: all known)."""

    residue: Mapping[str, float]
    steps: tuple[Step, ...]
    assumed: str = ""

    @property
    def gas_mol(self) -> dict[str, float]:
        """Moles of each gas over all steps; a negative amount is taken up."""
        return summed((step.gas, step.mol) for step in self.steps)


def summed(amounts: Iterable[tuple[str, float]]) -> dict[str, float]:
    """Totals by name, in order of appearance; a total that is nothing but rounding is left out."""
    totals: dict[str, float] = {}
    sizes: dict[str, float] = {}
    for name, amount in amounts:
        totals[name] = totals.get(name, 0.0) + amount
        sizes[name] = max(sizes.get(name, 0.0), abs(amount))
    return {name: total for name, total in totals.items() if abs(total) > 1e-12 * sizes[name]}


def atoms_in_gas(gas_mol: Mapping[str, float], symbol: str) -> float:
    """Moles of an element in moles of gases."""
    return sum(mol * GASES[gas].get(symbol, 0.0) for gas, mol in gas_mol.items())


def from_steps(
    atoms: Mapping[str, float], residue: Mapping[str, float], steps: Iterable[Step], choices: Choices
) -> Evolution:
    """The evolution of one mole by known steps, closed exactly.

    The steps are corrected to what the atoms allow: water, most loosely bound first, where this substance holds more or
    less of it than the known one; oxygen in its last step.
    """
    known = list(steps)
    declared = summed((step.gas, step.mol) for step in known)
    factors: dict[str, float] = {}
    for symbol in DEFAULT_GAS:
        leaving = atoms.get(symbol, 0.0) - residue.get(symbol, 0.0)
        named = atoms_in_gas(declared, symbol)
        if named > 0:
            factors.update({gas: leaving / named for gas in declared if symbol in GASES[gas]})
        elif leaving > 1e-12:
            gas = DEFAULT_GAS[symbol]
            known.append(Step(gas, leaving / GASES[gas][symbol]))
    sized = [replace(step, mol=step.mol * factors.get(step.gas, 1.0)) for step in known]
    chosen = [part for step in sized for part in _chosen(step, choices)]
    return Evolution(dict(residue), _closed(atoms, residue, chosen))


def general(formula: Formula, choices: Choices) -> Evolution:
    """The evolution of one mole by the general rule, without temperatures.

    Metals to their usual oxide; carbonate and organic carbon to CO2, hydrate and hydroxide to H2O, ammonium to NH3,
    nitrate to NO2, sulfate to SO3 and other sulfur to SO2, halides to HCl and the like; chlorides and sulfates of the
    alkalis and of Ca, Sr and Ba stay, and so do fluorides.
    """
    atoms = formula.numbers
    residue = _usual_residue(formula)
    leaving = {symbol: atoms[symbol] - residue.get(symbol, 0.0) for symbol in DEFAULT_GAS if symbol in atoms}
    nitrogen = leaving.get("N", 0.0)
    ammonium = min(group_count(formula, ("N", 1), ("H", 4)), nitrogen)
    nitrate = group_count(formula, ("N", 1), ("O", 3))
    if "C" not in atoms:
        nitrate += group_count(formula, ("N", 1), ("O", 2))
    nitrate = min(nitrate, nitrogen - ammonium)
    sulfur = leaving.get("S", 0.0)
    sulfate = min(group_count(formula, ("S", 1), ("O", 4)), sulfur)
    steps = [
        Step("NH3", ammonium),
        Step("NO2", nitrate),
        Step("N2", (nitrogen - ammonium - nitrate) / 2),
        Step("SO3", sulfate),
        Step("SO2", sulfur - sulfate),
    ]
    for symbol in ("C", *HALOGENS):
        gas = DEFAULT_GAS[symbol]
        steps.append(Step(gas, leaving.get(symbol, 0.0) / GASES[gas][symbol]))
    chosen = [part for step in steps if step.mol > 1e-12 for part in _chosen(step, choices)]
    return Evolution(residue, _closed(atoms, residue, chosen), _assumed(formula, residue))


def _usual_residue(formula: Formula) -> dict[str, float]:
    """The atoms that stay by the general rule."""
    atoms = formula.numbers
    residue = {symbol: count for symbol, count in atoms.items() if symbol not in VOLATILE}
    oxygen = sum(count * float(OXYGEN.get(symbol, 0)) for symbol, count in residue.items())
    bonds = sum(count * valence(symbol) for symbol, count in residue.items() if symbol in KEEPS_FLUORIDE)
    salt_bonds = sum(count * valence(symbol) for symbol, count in residue.items() if symbol in KEEPS_SALT)
    for symbol in HALOGENS:
        room = bonds if symbol == "F" else min(bonds, salt_bonds)
        kept = min(atoms.get(symbol, 0.0), max(room, 0.0))
        bonds, salt_bonds, oxygen = bonds - kept, salt_bonds - kept, oxygen - kept / 2
        if kept > 0:
            residue[symbol] = kept
    sulfate = min(group_count(formula, ("S", 1), ("O", 4)), max(min(bonds, salt_bonds), 0.0) / 2)
    if sulfate > 0:
        residue["S"] = sulfate
        oxygen += 3 * sulfate
    if oxygen > 0:
        residue["O"] = oxygen
    return residue


def _assumed(formula: Formula, residue: Mapping[str, float]) -> str:
    oxides = [usual_oxide(symbol) for symbol in residue if symbol not in VOLATILE]
    left = (
        _("it counts as leaving {oxides}", oxides=_(" and ").join(oxides))
        if oxides
        else _("it counts as leaving nothing")
    )
    salts = [symbol for symbol in residue if symbol in VOLATILE and symbol != "O"]
    held = _(", with its {salts} held as salt", salts=_(" and ").join(salts)) if salts else ""
    return _(
        "The decomposition of {text} is not known: {left}{held} (general rule, common practice).",
        text=formula.text,
        left=left,
        held=held,
    )


def _chosen(step: Step, choices: Choices) -> list[Step]:
    """The step with the chosen gas, and the water and oxygen that the other gas leaves over or needs."""
    gas = choices.gas(step.gas)
    if gas == step.gas:
        return [step]
    old, new = GASES[step.gas], GASES[gas]
    symbol = next(each for each in old if each in DEFAULT_GAS)
    mol = step.mol * old[symbol] / new[symbol]
    water = (step.mol * old.get("H", 0.0) - mol * new.get("H", 0.0)) / 2
    oxygen = (step.mol * old.get("O", 0.0) - mol * new.get("O", 0.0) - water) / 2
    others = [replace(step, gas="H2O", mol=water), replace(step, gas="O2", mol=oxygen)]
    return [replace(step, gas=gas, mol=mol), *(other for other in others if other.mol)]


def _closed(atoms: Mapping[str, float], residue: Mapping[str, float], steps: list[Step]) -> tuple[Step, ...]:
    """The steps with water and then oxygen made to close the balance of hydrogen and oxygen."""
    dry = summed((step.gas, step.mol) for step in steps if step.gas not in ("H2O", "O2"))
    hydrogen = atoms.get("H", 0.0) - residue.get("H", 0.0) - atoms_in_gas(dry, "H")
    steps = _with_water(steps, hydrogen / 2)
    others = summed((step.gas, step.mol) for step in steps if step.gas != "O2")
    oxygen = atoms.get("O", 0.0) - residue.get("O", 0.0) - atoms_in_gas(others, "O")
    steps = _with_oxygen(steps, oxygen / 2)
    return tuple(step for step in steps if abs(step.mol) > 1e-12)


def _with_water(steps: list[Step], needed: float) -> list[Step]:
    """The steps with `needed` moles of water in all: the difference is taken from, or added to, the first ones."""
    waters = [i for i, step in enumerate(steps) if step.gas == "H2O" and step.mol > 0]
    gap = needed - sum(step.mol for step in steps if step.gas == "H2O")
    changed = list(steps)
    for i in waters:
        change = max(gap, -changed[i].mol)
        changed[i] = replace(changed[i], mol=changed[i].mol + change)
        gap -= change
    if abs(gap) > 1e-12:
        like = next((step for step in steps if "H" in GASES[step.gas] and step.gas != "H2O"), Step("H2O", 0.0))
        changed.append(replace(like, gas="H2O", mol=gap))
    return changed


def _with_oxygen(steps: list[Step], needed: float) -> list[Step]:
    """The steps with `needed` moles of oxygen in all: the difference goes to its last step, or is a new one."""
    gap = needed - sum(step.mol for step in steps if step.gas == "O2")
    last = max((i for i, step in enumerate(steps) if step.gas == "O2"), default=None)
    if last is None:
        return [*steps, Step("O2", gap)]
    return [*steps[:last], replace(steps[last], mol=steps[last].mol + gap), *steps[last + 1 :]]
