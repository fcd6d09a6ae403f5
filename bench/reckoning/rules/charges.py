"""What an element carries in a compound, found by balancing the rest, so that no reading hangs on how a formula is
spelled.

CoAlCrO4 and K2CrO4 both contain the letters CrO4; only the balance tells chromium(III) from chromium(VI).
"""

from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType

RARE_EARTHS = ("La", "Pr", "Nd", "Sm", "Eu", "Gd", "Tb", "Dy", "Ho", "Er", "Tm", "Yb", "Lu")


def _table(*rows: tuple[int, tuple[str, ...]]) -> Mapping[str, int]:
    return MappingProxyType({symbol: charge for charge, symbols in rows for symbol in symbols})


USUAL: Mapping[str, int] = _table(
    (-2, ("O",)),
    (-1, ("F", "Cl", "Br", "I")),
    (1, ("H", "Li", "Na", "K", "Rb", "Cs", "Ag", "Tl")),
    (2, ("Be", "Mg", "Ca", "Sr", "Ba", "Zn", "Co", "Ni", "Cu", "Mn", "Pb", "Cd", "Hg", "Pd", "Pt")),
    (3, ("B", "Al", "Fe", "Y", "In", "Sc", "Bi", "Cr", "Ga", "Au", "Rh", *RARE_EARTHS)),
    (4, ("Si", "Ti", "Zr", "Sn", "Ge", "Hf", "Ce", "Th", "Ru")),
    (5, ("P", "V", "Nb", "Ta", "Sb", "As")),
    (6, ("S", "Mo", "W", "U", "Se", "Te")),
)
"""The charge that each element usually carries beside oxygen. The rules' own vocabulary fixes the common ones; the
rest are the usual states of general chemistry (memory)."""

HIGHEST: Mapping[str, int] = _table(
    (1, ("H", "Li", "Na", "K", "Rb", "Cs")),
    (2, ("Be", "Mg", "Ca", "Sr", "Ba", "Zn", "Cd", "Hg", "Cu")),
    (3, ("B", "Al", "Y", "In", "Sc", "Ga", "La")),
    (4, ("Si", "Ti", "Zr", "Sn", "Pb", "C", "Ge", "Ce", "Pr", "Hf", "Fe", "Co", "Ni")),
    (5, ("P", "V", "Nb", "Ta", "Sb", "Bi", "N", "As")),
    (6, ("S", "Mo", "W", "Cr", "Se")),
    (7, ("Mn", "Cl", "Br", "I")),
)
"""The highest charge that each element reaches in substances of this trade (memory). More oxygen than these can
hold is a peroxide."""

ANY_HIGHEST = 8


def mean_charge(
    counts: Mapping[str, Fraction], symbol: str, known: Mapping[str, Fraction], *, unknown_as: int | None = None
) -> Fraction | None:
    """The mean charge of `symbol` that makes the formula neutral, or None where another element's charge is not
    known.

    `known` gives the total charge of elements that the usual table cannot tell (nitrogen, carbon). `unknown_as`
    stands for every other charge that is not known.
    """
    rest = Fraction(0)
    for other, count in counts.items():
        if other == symbol:
            continue
        if other in known:
            rest += known[other]
            continue
        charge = USUAL.get(other, unknown_as)
        if charge is None:
            return None
        rest += charge * count
    return -rest / counts[symbol]


def spare_oxygen(counts: Mapping[str, Fraction], known: Mapping[str, Fraction]) -> Fraction:
    """How much charge is left on oxygen after every other element has reached its highest state; above 0 is a
    peroxide.

    `known` gives the total charge of elements that are settled already (ammonium nitrogen does not reach +5).
    """
    held = Fraction(0)
    for symbol, count in counts.items():
        if symbol not in ("O", "F"):
            held += known.get(symbol, HIGHEST.get(symbol, ANY_HIGHEST) * count)
    return 2 * counts.get("O", Fraction(0)) - held
