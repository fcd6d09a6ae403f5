"""Whether the charges of a formula can add up to nothing: what a real compound does and a slip of the pen does not."""

from collections.abc import Mapping
from fractions import Fraction
from itertools import product
from operator import mul
from typing import Final

_METALS: Final = """
1 1 Li Na K Rb Cs
1 2 Cu Ag Hg
1 3 In Tl Au
2 2 Be Mg Ca Sr Ba Zn Cd
2 3 Fe Co Ni Eu Yb Sm
2 4 Sn Pb Ti Ge Pt Pd
2 7 Mn
2 6 Cr
2 5 V Nb
3 3 B Al Ga Sc Y La Nd Gd Dy Ho Er Tm Lu Rh
3 4 Ce Pr Tb Ir
3 5 Sb Bi As
3 6 Mo
3 8 Ru
4 4 Zr Hf Th Si
4 6 W U Pa
4 7 Re
4 8 Os
5 5 Ta
"""
CHARGES: Final[Mapping[str, tuple[int, int]]] = {
    symbol: (int(low), int(high))
    for low, high, *symbols in (line.split() for line in _METALS.strip().splitlines())
    for symbol in symbols
}
"""The lowest and highest charge that a metal usually carries in a compound (general chemistry, from memory)."""
NONMETALS: Final[Mapping[str, tuple[int, ...]]] = {
    "H": (1,),
    "O": (-2,),
    **dict.fromkeys(("F", "Cl", "Br", "I"), (-1,)),
    "C": (4, -4),
    "N": (5, -3, 1),
    "P": (5, -3),
    **dict.fromkeys(("S", "Se", "Te"), (6, 4, -2)),
}
"""The charges of the others, likewise; the 1 of nitrogen is the mean of an ammonium nitrate."""
ORGANIC: Final[Mapping[str, int]] = {"C2O4": 3, "CH3COO": 0, "C2H3O2": 0}
"""The mean charge of carbon in an oxalate and in an acetate, by how they are written."""


def balances(text: str, counts: Mapping[str, Fraction]) -> bool:
    """True where usual charges can add up to nothing; one atom of a pure element is such a case, a cluster is not."""
    if len(counts) == 1:
        return set(counts.values()) == {Fraction(1)}
    if any(symbol not in CHARGES and symbol not in NONMETALS for symbol in counts):
        return False
    metals = [(CHARGES[symbol], float(count)) for symbol, count in counts.items() if symbol in CHARGES]
    low, high = (sum(pair[end] * count for pair, count in metals) for end in (0, 1))
    others = [symbol for symbol in counts if symbol in NONMETALS]
    carbon = tuple(charge for group, charge in ORGANIC.items() if group in text)
    options = [NONMETALS[symbol] + (carbon if symbol == "C" else ()) for symbol in others]
    amounts = [float(counts[symbol]) for symbol in others]
    rests = (sum(map(mul, charges, amounts)) for charges in product(*options))
    return any(low + rest <= 1e-6 and high + rest >= -1e-6 for rest in rests)
