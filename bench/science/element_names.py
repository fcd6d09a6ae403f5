"""The names of the elements that have a standard weight, for sentences."""

from typing import Final

_TABLE: Final = """
H hydrogen, He helium, Li lithium, Be beryllium, B boron, C carbon, N nitrogen, O oxygen, F fluorine, Ne neon,
Na sodium, Mg magnesium, Al aluminium, Si silicon, P phosphorus, S sulfur, Cl chlorine, Ar argon, K potassium,
Ca calcium, Sc scandium, Ti titanium, V vanadium, Cr chromium, Mn manganese, Fe iron, Co cobalt, Ni nickel, Cu copper,
Zn zinc, Ga gallium, Ge germanium, As arsenic, Se selenium, Br bromine, Kr krypton, Rb rubidium, Sr strontium,
Y yttrium, Zr zirconium, Nb niobium, Mo molybdenum, Ru ruthenium, Rh rhodium, Pd palladium, Ag silver, Cd cadmium,
In indium, Sn tin, Sb antimony, Te tellurium, I iodine, Xe xenon, Cs caesium, Ba barium, La lanthanum, Ce cerium,
Pr praseodymium, Nd neodymium, Sm samarium, Eu europium, Gd gadolinium, Tb terbium, Dy dysprosium, Ho holmium,
Er erbium, Tm thulium, Yb ytterbium, Lu lutetium, Hf hafnium, Ta tantalum, W tungsten, Re rhenium, Os osmium,
Ir iridium, Pt platinum, Au gold, Hg mercury, Tl thallium, Pb lead, Bi bismuth, Th thorium, Pa protactinium, U uranium
"""
_WORDS: Final = _TABLE.replace(",", " ").split()
ELEMENT_NAMES: Final[dict[str, str]] = dict(zip(_WORDS[::2], _WORDS[1::2], strict=True))
