"""The facts that a formula alone gives: each is a mark that the rules may ask for (nitrate, chromate,
fuel_material, …)."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from bench.reckoning.rules.charges import USUAL, mean_charge, spare_oxygen
from bench.reckoning.rules.groups import (
    HYDRIDE_PARTNERS,
    Kinds,
    bound_charges,
    carbon_kinds,
    dry_counts,
    metals_only,
    nitrogen_kinds,
    ratio,
)
from bench.reckoning.rules.oxyanions import chlorine_kinds, sulfur_kinds
from bench.science.formulas import Formula, Piece, parsed

CHROMATE_FROM = Fraction(9, 2)
MANGANATE_FROM = Fraction(11, 2)
MNO4: Piece = (("Mn", Fraction(1)), ("O", Fraction(4)))
N3 = ("N", Fraction(3))
SPARE_FROM = Fraction(1, 20)
REDUCIBLE = frozenset({"Fe", "Cu", "Mn", "Co", "Ni", "Cr", "V", "Mo", "Bi", "Sn"})
INERT_CARBIDES = frozenset({"Si", "B", "Ti", "W", "Zr", "Cr", "V", "Mo", "Ta", "Nb", "Hf"})
ALKALI_METALS = frozenset({"Li", "Na", "K", "Rb", "Cs"})
LIGHT_METALS = ALKALI_METALS | {"Mg", "Ca", "Sr", "Ba", "Al"}
FEWEST_CHLORINE = {"S": 1, "B": 3, "P": 3, "Si": 4, "Ge": 4, "Ti": 4, "Zr": 4, "Hf": 4, "Sn": 4, "V": 4}
FEWEST_CHLORINE |= {"Nb": 5, "Ta": 5, "Sb": 5, "Mo": 5, "W": 6}
"""From so many chlorine atoms on, an anhydrous chloride of this element reacts violently with water (general
chemistry, from memory; those of Ti, Sn, Si and P by their cards). Aluminium's is asked about first."""
ACIDS = (
    {"H": 1, "Cl": 1},
    {"H": 1, "N": 1, "O": 3},
    {"H": 2, "S": 1, "O": 4},
    {"H": 3, "P": 1, "O": 4},
    {"C": 2, "H": 4, "O": 2},
    {"C": 6, "H": 8, "O": 7},
)
"""Hydrochloric, nitric, sulfuric, phosphoric, acetic and citric acid."""
OXYCHLORIDES = frozenset({"P", "S", "V"})
GLASS_FORMERS = frozenset({"B", "P", "Si"})


@dataclass(frozen=True)
class Composition:
    """What one formula says: its elements, the marks that hold, the dangerous anions, and grams a mole."""

    symbols: frozenset[str]
    marks: frozenset[str]
    anions: frozenset[str]
    molar_mass_g_mol: float
    alkali_oxide_g_mol: float


@dataclass(frozen=True)
class _Read:
    """A formula with what its nitrogen, carbon, sulfur and chlorine are bound to."""

    formula: Formula
    symbols: frozenset[str]
    dry: Mapping[str, Fraction]
    nitrogen: Kinds
    carbon: Kinds
    known: Mapping[str, Fraction]
    sulfur: frozenset[str]
    chlorine: frozenset[str]

    def has(self, *symbols: str) -> bool:
        """Whether all these elements stand in it."""
        return self.symbols.issuperset(symbols)


@lru_cache(maxsize=4096)
def composition(text: str) -> Composition | None:
    """The facts of a formula, or None where it cannot be read."""
    formula = parsed(text)
    if formula is None:
        return None
    read = _read(formula)
    marks = frozenset(mark for mark, holds in MARKS.items() if holds(read))
    return Composition(read.symbols, marks, _anions(read), formula.molar_mass_g_mol, _alkali_oxide(formula))


def _read(formula: Formula) -> _Read:
    nitrogen = nitrogen_kinds(formula)
    carbon = carbon_kinds(formula, nitrogen)
    known = bound_charges(formula, nitrogen, carbon)
    return _Read(
        formula,
        frozenset(formula.counts),
        dry_counts(formula),
        nitrogen,
        carbon,
        known,
        sulfur_kinds(formula, known),
        chlorine_kinds(formula, known),
    )


def _chromate(read: _Read) -> bool:
    """Whether chromium carries 4.5 or more in the mean; a charge that cannot be told counts as the worse."""
    if not read.has("Cr", "O"):
        return False
    if "C" in read.symbols and "C" not in read.known:
        return True
    charge = mean_charge(read.formula.counts, "Cr", read.known, unknown_as=0)
    return charge is None or charge >= CHROMATE_FROM


def _nitrate(read: _Read) -> bool:
    return bool({"nitrate", "nitrite", "undecided"} & set(read.nitrogen))


def _positive_halogen(read: _Read) -> bool:
    """Bromates, iodates and the like: bromine or iodine that carries a positive charge."""
    for symbol in ("Br", "I"):
        if read.has(symbol, "O"):
            charge = mean_charge(read.formula.counts, symbol, read.known)
            if charge is None or charge > 0:
                return True
    return False


def _manganate(read: _Read) -> bool:
    if not read.has("Mn", "O"):
        return False
    charge = mean_charge(read.formula.counts, "Mn", read.known)
    if charge is None:
        return any(piece[at : at + 2] == MNO4 for piece in read.formula.pieces for at in (0, 1))
    return charge >= MANGANATE_FROM


def _peroxide(read: _Read) -> bool:
    inorganic = set(read.carbon) <= {"carbonate"}
    return inorganic and spare_oxygen(read.formula.counts, read.known) > SPARE_FROM


def _strong_oxidiser(read: _Read) -> bool:
    chlorine = bool({"chlorite", "chlorate", "perchlorate"} & read.chlorine)
    return chlorine or _chromate(read) or _positive_halogen(read) or _manganate(read) or _peroxide(read)


def _fuel(read: _Read) -> bool:
    if read.symbols in ({"C"}, {"S"}, {"P"}) or metals_only(read.symbols) or _hydride(read):
        return True
    if {"organic", "oxalate", "cyanide"} & set(read.carbon) or {"sulfide", "reduced", "cyanide"} & read.sulfur:
        return True
    return "carbide" in read.carbon and not read.symbols & INERT_CARBIDES


def _water_reactive(read: _Read) -> bool:
    """Hydrides and carbides of the light metals, and phosphides of these and of zinc: water frees a gas from them."""
    metals = read.symbols & LIGHT_METALS
    if read.has("P"):
        return read.symbols - {"P"} <= LIGHT_METALS | {"Zn"} and read.symbols != {"P"}
    return bool(metals) and (_hydride(read) or ("carbide" in read.carbon and read.symbols - {"C"} == metals))


def _water_reactive_chloride(read: _Read) -> bool:
    """The anhydrous chlorides that water turns into acid at once; a hydrate is other matter."""
    others = read.symbols - {"Cl"}
    if not read.has("Cl") or len(others - {"O"}) != 1 or not others:
        return False
    (symbol,) = others - {"O"}
    if "O" in others:
        return symbol in OXYCHLORIDES
    counts = read.formula.counts
    return counts["Cl"] >= FEWEST_CHLORINE.get(symbol, 99) * counts[symbol]


def _hydrogen_fluoride(read: _Read) -> bool:
    """Hydrogen that neither water nor ammonium holds, beside fluorine: HF itself, or a salt that is half of it."""
    hydrogen = read.dry.get("H", Fraction(0))
    return read.has("F") and not {"O", "C"} & set(read.dry) and hydrogen > 4 * read.dry.get("N", Fraction(0))


def _carbon_gas(read: _Read) -> bool:
    return bool({"element", "organic", "oxalate"} & set(read.carbon))


def _hydride(read: _Read) -> bool:
    return "H" in read.symbols and bool(read.symbols - {"H"}) and read.symbols - {"H"} <= HYDRIDE_PARTNERS


def _alum(read: _Read) -> bool:
    alkali = read.has("K") or read.has("Na") or "ammonium" in read.nitrogen
    counts = read.formula.counts
    return alkali and read.has("Al", "S") and counts["S"] == 2 * counts["Al"] and "sulfate" in read.sulfur


MARKS: Mapping[str, Callable[[_Read], bool]] = {
    "chromate": _chromate,
    "nitrate": _nitrate,
    "nitrite": lambda read: bool({"nitrite", "undecided"} & set(read.nitrogen)),
    "ammonium": lambda read: bool({"ammonium", "undecided"} & set(read.nitrogen)),
    "strong_oxidiser": _strong_oxidiser,
    "fuel_material": _fuel,
    "metal_powder": lambda read: metals_only(read.symbols),
    "reducible_oxide": lambda read: bool(read.symbols & REDUCIBLE) and "O" in read.dry,
    "chloride": lambda read: "chloride" in read.chlorine or "hypochlorite" in read.chlorine,
    "hypochlorite": lambda read: "hypochlorite" in read.chlorine,
    "sulfate": lambda read: "sulfate" in read.sulfur,
    "sulfide": lambda read: "sulfide" in read.sulfur,
    "fluoride": lambda read: read.has("F"),
    "charcoal": lambda read: read.symbols == {"C"},
    "sulfur": lambda read: read.symbols == {"S"},
    "borate_hydrate": lambda read: read.has("B", "H", "O"),
    "alum": _alum,
    "ammonium_phosphate": lambda read: "ammonium" in read.nitrogen and read.has("P", "O"),
    "glass_former": lambda read: bool(read.symbols & GLASS_FORMERS) and "O" in read.dry,
    "water": lambda read: not read.dry and read.symbols == {"H", "O"},
    "form_open": lambda read: read.symbols == {"Al", "Cl"},
    "white_phosphorus": lambda read: read.symbols == {"P"},
    "alkali_metal": lambda read: read.symbols <= ALKALI_METALS,
    "water_reactive": _water_reactive,
    "water_reactive_chloride": _water_reactive_chloride,
    "hydrogen_fluoride": _hydrogen_fluoride,
    "carbon_gas": _carbon_gas,
    "acid_matter": lambda read: dict(read.formula.counts) in ACIDS,
    "oxalate": lambda read: "oxalate" in read.carbon,
}
"""How each fact is found in a formula."""


def _anions(read: _Read) -> frozenset[str]:
    found = set()
    if "cyanide" in read.carbon:
        found.add("CN")
        if "Fe" in read.symbols:
            found.add("Fe(CN)6")
        if "S" in read.symbols:
            found.add("SCN")
    if _azide(read):
        found.add("N3")
    found.update({"chlorate": "ClO3", "perchlorate": "ClO4"}.get(kind, "") for kind in read.chlorine)
    return frozenset(found - {""})


def _azide(read: _Read) -> bool:
    """Three nitrogen for each charge of what they are bound to; nitrides have a third of one."""
    if not read.has("N") or {"O", "C"} & set(read.dry):
        return False
    charge = sum(USUAL.get(symbol, 0) * count for symbol, count in read.dry.items() if symbol != "N")
    if charge > 0 and charge == 3 * read.dry["N"]:
        return False
    return (charge > 0 and read.dry["N"] == 3 * charge) or any(_three_nitrogen(piece) for piece in read.formula.pieces)


def _three_nitrogen(piece: Piece) -> bool:
    """Whether a run holds N3 that no hydrogen follows, as in NH4N3."""
    return any(one == N3 and not ratio(piece, at, 1, "H") for at, one in enumerate(piece))


def _alkali_oxide(formula: Formula) -> float:
    """Grams of alkali and lead oxide in one mole: what fluxes a glass."""
    oxide_g = {
        "Li": 14.94,
        "Na": 30.99,
        "K": 47.10,
        "Pb": 223.2,
    }  # half of Li2O, Na2O, K2O; PbO: from the atomic weights
    return sum(float(formula.counts.get(symbol, 0)) * grams for symbol, grams in oxide_g.items())
