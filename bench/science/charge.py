"""What becomes of a charge in the fire: target, what is left beside it, gas, and masses that add up.

Everything is kept as moles of elements, so that what goes in comes out: charge = fired + evolved, where what is taken
up from the air counts as negative gas. What the assay of a reagent leaves over is taken to stay as it is, or to be
water that leaves, as its line says.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from bench.science.evolution import DEFAULT_GAS, GAS_G_MOL, GASES, Evolution, atoms_in_gas, summed
from bench.science.left_over import SALTS, LeftOver, left_over
from bench.science.usual_oxides import HALOGENS, VOLATILE
from bench.science.weights import G_MOL

ROUNDING: Final = 1e-10
"""Part of an element's amount below which a difference is nothing but the noise of binary fractions."""
FATES: Final = ("reacts", "washed-out", "burns-out", "stays")


@dataclass(frozen=True)
class Line:
    """One reagent in a charge: grams as weighed, the share of it that is the substance, its atoms and its evolution.

    `rest_is_water` says that what is not the substance is water; a share above 1 is then a jar that holds less water
    than the formula names.
    """

    name: str
    g: float
    purity: float
    atoms: Mapping[str, float]
    g_mol: float
    evolution: Evolution
    fate: str = "reacts"
    rest_is_water: bool = False

    @property
    def mol(self) -> float:
        """Moles of the substance in the grams weighed."""
        return self.g * self.purity / self.g_mol

    @property
    def impurity_g(self) -> float:
        """Grams that the assay leaves over and that stay."""
        return 0.0 if self.rest_is_water else self.g * (1 - self.purity)

    @property
    def water_mol(self) -> float:
        """Moles of water that the assay leaves over; negative where the formula names more water than there is."""
        return self.g * (1 - self.purity) / GAS_G_MOL["H2O"] if self.rest_is_water else 0.0


@dataclass(frozen=True)
class Outcome:
    """What a charge becomes. Masses in g, gases in mol; gas taken up from the air is negative.

    `fired_g` is what stays without what is to be washed out; `salt_g` is the latter; `salt_volatile` says that some of
    it flies off in the fire, by an amount that nobody can tell; `washed_g` is `fired_g` without what water carries off.
    """

    charge_g: float
    target_g: float
    left_over: tuple[LeftOver, ...]
    fired_g: float
    salt_g: float
    salt_volatile: bool
    washed_g: float
    impurity_g: float
    gas_mol: Mapping[str, float]

    @property
    def gas_g(self) -> dict[str, float]:
        """Grams of each gas; negative is taken up."""
        return {gas: mol * GAS_G_MOL[gas] for gas, mol in self.gas_mol.items()}


def grams(atoms: Mapping[str, float]) -> float:
    """The mass of moles of atoms, in g."""
    return sum(mol * G_MOL[symbol] for symbol, mol in atoms.items())


def supplied(lines: Iterable[Line]) -> dict[str, float]:
    """Moles of each element that the reacting lines bring."""
    total: dict[str, float] = {}
    for line in lines:
        if line.fate == "reacts":
            _add(total, line.atoms, line.mol)
    return total


def outcome(
    lines: Sequence[Line], target: Mapping[str, float], target_mol: float, oxides: Mapping[str, str] | None = None
) -> Outcome:
    """What the lines become when `target_mol` of a target (its atoms given) forms from those that react.

    `oxides` names, by element, the oxide in which an excess stays where it is not the usual one. `target_mol` must not
    ask for more of any element than is there.
    """
    brought = supplied(lines)
    taken = {symbol: count * target_mol for symbol, count in target.items()}
    over = {
        symbol: brought[symbol] - taken.get(symbol, 0.0)
        for symbol in brought
        if symbol not in VOLATILE and brought[symbol] - taken.get(symbol, 0.0) > 1e-9 * brought[symbol]
    }
    reacting = [line for line in lines if line.fate == "reacts"]
    held = {symbol: _held(symbol, reacting) - taken.get(symbol, 0.0) for symbol in SALTS}
    rest = left_over(over, held, oxides or {})
    solid = dict(taken)
    for symbol in over:
        solid.setdefault(symbol, 0.0)
    for part in rest:
        _add(solid, part.atoms, part.mol)
    _settle_rounding(solid, brought)
    gases = list(_gases(reacting, brought, solid).items())
    gases += [("H2O", line.water_mol) for line in lines if line.water_mol]
    for line in lines:
        if line.fate != "reacts":
            gases += [(step.gas, step.mol * line.mol) for step in line.evolution.steps]
    return _summed_up(lines, taken, rest, summed(gases), solid)


def _held(symbol: str, lines: Iterable[Line]) -> float:
    return sum(line.mol * line.evolution.residue.get(symbol, 0.0) for line in lines)


def _settle_rounding(solid: dict[str, float], brought: Mapping[str, float]) -> None:
    """Makes the solid hold exactly the elements that stay, so that no trace of rounding is lost."""
    for symbol, mol in brought.items():
        if symbol not in VOLATILE:
            solid[symbol] = mol


def _gases(lines: Sequence[Line], brought: Mapping[str, float], solid: Mapping[str, float]) -> dict[str, float]:
    """Moles of each gas from the reacting lines together: what is brought and is not in the solid."""
    known = summed((step.gas, step.mol * line.mol) for line in lines for step in line.evolution.steps)
    gases: dict[str, float] = {}
    for symbol in DEFAULT_GAS:
        leaving = brought.get(symbol, 0.0) - solid.get(symbol, 0.0)
        names = [gas for gas in known if symbol in GASES[gas] and known[gas] > 0]
        named = sum(known[gas] * GASES[gas][symbol] for gas in names)
        if named > 0:
            gases.update({gas: known[gas] * leaving / named for gas in names})
        elif abs(leaving) > 1e-12 * brought.get(symbol, 1.0):
            gas = DEFAULT_GAS[symbol]
            gases[gas] = leaving / GASES[gas][symbol]
    for gas, symbol in (("H2O", "H"), ("O2", "O")):
        leaving = brought.get(symbol, 0.0) - solid.get(symbol, 0.0) - atoms_in_gas(gases, symbol)
        if abs(leaving) > ROUNDING * max(brought.get(symbol, 0.0), solid.get(symbol, 0.0)):
            gases[gas] = leaving / 2
    return gases


def _summed_up(
    lines: Sequence[Line],
    taken: Mapping[str, float],
    rest: Sequence[LeftOver],
    gas_mol: Mapping[str, float],
    solid: Mapping[str, float],
) -> Outcome:
    washed = [line for line in lines if line.fate == "washed-out"]
    stays = sum(grams(line.evolution.residue) * line.mol for line in lines if line.fate == "stays")
    impurity = sum(line.impurity_g for line in lines if line.fate != "washed-out")
    fired = grams(solid) + stays + impurity
    soluble = sum(grams(part.atoms) * part.mol for part in rest if part.soluble)
    return Outcome(
        charge_g=sum(line.g for line in lines),
        target_g=grams(taken),
        left_over=tuple(rest),
        fired_g=fired,
        salt_g=sum(grams(line.evolution.residue) * line.mol + line.impurity_g for line in washed),
        salt_volatile=any(line.evolution.residue.get(symbol) for line in washed for symbol in HALOGENS),
        washed_g=fired - soluble,
        impurity_g=impurity,
        gas_mol=gas_mol,
    )


def _add(total: dict[str, float], atoms: Mapping[str, float], mol: float) -> None:
    for symbol, count in atoms.items():
        total[symbol] = total.get(symbol, 0.0) + count * mol
