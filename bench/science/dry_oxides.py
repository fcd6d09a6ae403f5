"""Oxides that take up no more than a trace of water from air, so that what is mixed dry of them alone is dry.

Common practice, from memory. Left out on purpose: alkalis, alkaline and rare earths, boron, phosphorus and vanadium,
which take up water; alumina and silica, whose active and gel forms hold much of it.
"""

from typing import Final

from bench.science.formulas import parse
from bench.science.refusal import Refusal

_METALS: Final = "Ti Cr Mn Fe Co Ni Cu Zn Zr Nb Mo In Sn Sb Ce Ta W"
METALS: Final = frozenset(_METALS.split())


def stays_dry(formula: str) -> bool:
    """Whether a formula is an oxide of these metals alone; not of one that cannot be read.

    >>> stays_dry("Fe2O3"), stays_dry("MnO2*0.2H2O"), stays_dry("CaO")
    (True, False, False)
    """
    try:
        held = set(parse(formula).numbers)
    except Refusal:
        return False
    return "O" in held and len(held) > 1 and held - {"O"} <= METALS
