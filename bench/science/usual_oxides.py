"""The oxide that an element usually ends as after a strong fire in air, and which elements may leave as gas.

Common practice, from memory; where the reference data names the oxide that stands at a temperature, that goes first.
"""

from collections.abc import Mapping
from fractions import Fraction
from typing import Final

VOLATILE: Final = frozenset(["H", "C", "N", "O", "F", "S", "Cl", "Br", "I"])
"""Elements that may leave as gas; all others stay."""

HALOGENS: Final = ("F", "Cl", "Br", "I")
ALKALI: Final = frozenset(["Li", "Na", "K", "Rb", "Cs"])
KEEPS_SALT: Final = ALKALI | {"Ca", "Sr", "Ba"}
"""Elements whose chloride and sulfate outlast a fire."""

KEEPS_FLUORIDE: Final = KEEPS_SALT | {"Mg", "Al", "Sc", "Y", "La", "Ce", "Pr", "Nd"}
"""Elements whose fluoride outlasts a fire; that of silicon or boron flies off."""

# Atoms of oxygen for one atom of the element, and the elements with that many.
_OXYGEN: Final = {
    "1/2": "Li Na K Rb Cs",
    "1": "Be Mg Ca Sr Ba Pb Co Ni Cu Zn Cd Hg Pd",
    "4/3": "Mn",
    "3/2": "B Al Ga In Tl Sc Y La Nd Sm Eu Gd Dy Ho Er Tm Yb Lu Bi Cr Fe Rh",
    "7/4": "Tb",
    "11/6": "Pr",
    "2": "Ce Si Ge Sn Sb Se Te Ti Zr Hf Th Ru Ir",
    "5/2": "P As V Nb Ta Pa",
    "8/3": "U",
    "3": "Mo W",
    "7/2": "Re",
    "4": "Os",
}
OXYGEN: Final[Mapping[str, Fraction]] = {
    symbol: Fraction(oxygen) for oxygen, symbols in _OXYGEN.items() for symbol in symbols.split()
}
"""Atoms of oxygen for one atom of the element in its usual oxide; metals that stay bare (Au, Ag, Pt) are absent."""

_WRITTEN: Final = {"Sb": "Sb2O4"}


def usual_oxide(symbol: str) -> str:
    """The formula of the usual oxide of an element; of a metal that stays bare, its symbol."""
    if symbol in _WRITTEN:
        return _WRITTEN[symbol]
    oxygen = OXYGEN.get(symbol, Fraction(0))
    if not oxygen:
        return symbol
    return f"{symbol}{_subscript(oxygen.denominator)}O{_subscript(oxygen.numerator)}"


def valence(symbol: str) -> int:
    """Single bonds to a halogen that one atom of the element in its usual oxide can hold."""
    return int(2 * OXYGEN.get(symbol, Fraction(0)))


def _subscript(count: int) -> str:
    return "" if count == 1 else str(count)
