"""What stays beside the target when a charge holds more than the target takes: oxides and salts."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from math import gcd
from typing import Final

from bench.science.formulas import parse
from bench.science.usual_oxides import ALKALI, HALOGENS, KEEPS_FLUORIDE, KEEPS_SALT, usual_oxide, valence

SALTS: Final = (*HALOGENS, "S")


@dataclass(frozen=True)
class LeftOver:
    """An oxide or a salt beside the target: its formula, of which element it is the excess, and how much there is.

    `mol` counts atoms of that element; `atoms` are those that one of them brings.
    """

    formula: str
    element: str
    mol: float
    atoms: Mapping[str, float]

    @property
    def soluble(self) -> bool:
        """True for what a wash with water carries off: alkalis, phosphoric and boric oxide, and most of their salts."""
        if self.element in ALKALI:
            return self.formula != "LiF"
        return self.element in ("P", "B") or any(symbol in self.atoms for symbol in ("Cl", "Br", "I"))


def left_over(excess: Mapping[str, float], held: Mapping[str, float], oxides: Mapping[str, str]) -> list[LeftOver]:
    """The compounds of excess elements (mol) with the halogens and the sulfur that stay (mol), the rest as oxides.

    `oxides` names the oxide of an element where it is not the usual one. What finds no partner is not held: it leaves.
    """
    acids = {symbol: held.get(symbol, 0.0) for symbol in SALTS}
    found: list[LeftOver] = []
    for element, amount in excess.items():
        rest = amount
        for acid in SALTS:
            if (
                rest > 0
                and acids[acid] > 0
                and valence(element)
                and element in (KEEPS_FLUORIDE if acid == "F" else KEEPS_SALT)
            ):
                formula, atoms = _salt(element, acid)
                part = min(rest, acids[acid] / atoms[acid])
                acids[acid] -= part * atoms[acid]
                rest -= part
                found.append(LeftOver(formula, element, part, atoms))
        if rest > 1e-12 * amount:
            formula = oxides.get(element) or usual_oxide(element)
            found.append(LeftOver(formula, element, rest, _per_atom(formula, element)))
    return found


@lru_cache(maxsize=512)
def _per_atom(formula: str, element: str) -> Mapping[str, float]:
    """The atoms that one atom of the element brings in a compound."""
    counts = parse(formula).counts
    return {symbol: float(count / counts[element]) for symbol, count in counts.items()}


@lru_cache(maxsize=512)
def _salt(element: str, acid: str) -> tuple[str, Mapping[str, float]]:
    """The fluoride, chloride, … or sulfate of an element in its usual state."""
    bonds = valence(element)
    if acid == "S":
        shared = gcd(2, bonds)
        metals, acids = 2 // shared, bonds // shared
        group = "SO4" if acids == 1 else f"(SO4){acids}"
        formula = f"{element}{'' if metals == 1 else metals}{group}"
    else:
        formula = f"{element}{acid}{'' if bonds == 1 else bonds}"
    return formula, _per_atom(formula, element)
