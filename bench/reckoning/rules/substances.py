"""What is known of one part of a charge: its facts by formula and by name, and the hazard card that stands for it."""

from dataclasses import dataclass
from functools import lru_cache

from bench.reckoning.rules import names
from bench.reckoning.rules.composition import Composition, composition

ROLES = ("line", "target", "liquid", "packing", "binder", "lining", "luting", "paper", "acid", "neighbour")
ORGANIC_BINDERS = ("binder", "liquid")
"""Roles whose unread names count as something that burns: a binder or a grinding liquid without a formula nearly
always does."""


@dataclass(frozen=True)
class Part:
    """One thing that is in, on or beside the charge.

    `formula` is as typed or None; `slug` names a reagent or target of the library; `g` its grams where they are
    known. `role` is one of `ROLES`: a line of the batch, the target, the grinding liquid, packing outside the
    crucible, a binder, the lining wash, luting, paper, wash acid, or the charge of a crucible that shares a saggar
    with this one.
    """

    formula: str | None
    name: str
    slug: str | None = None
    g: float | None = None
    role: str = "line"

    def __post_init__(self) -> None:
        if self.role not in ROLES:
            raise ValueError(f"a part has no role '{self.role}'")

    @property
    def label(self) -> str:
        """The part as a maker would call it."""
        if not self.formula or self.formula == self.name:
            return self.name or "a part without a name"
        return f"{self.name} ({self.formula})" if self.name else self.formula


@dataclass(frozen=True)
class Facts:
    """The facts of a part: elements, marks that hold, dangerous anions; `read` is false where its elements cannot
    be checked."""

    symbols: frozenset[str] = frozenset()
    marks: frozenset[str] = frozenset()
    anions: frozenset[str] = frozenset()
    read: bool = True
    composition: Composition | None = None


WATER = Facts(frozenset({"H", "O"}), frozenset({"water"}))
SAND = Facts(frozenset({"Si", "O"}), frozenset({"glass_former"}))


@lru_cache(maxsize=8192)
def facts_of(formula: str | None, name: str, role: str = "line") -> Facts:
    """The facts of a substance by its formula, its name and its role; what the name says is added to what the
    formula says."""
    told = _by_name(name)
    read = composition(formula) if formula else None
    if read is not None:
        marks = read.marks | (told.marks - ONLY_UNREAD)
        if "metal_powder" in read.marks and names.NOT_POWDER.search(name):
            marks -= {"metal_powder", "fuel_material"}
        if "form_open" in read.marks and names.ANHYDROUS_CHLORIDE.search(name):
            marks |= {"water_reactive_chloride"}
        if names.RED_PHOSPHORUS.search(name):
            marks -= {"white_phosphorus"}
        facts = Facts(read.symbols, marks, read.anions, True, read)
    else:
        facts = told if not formula else Facts(told.symbols, told.marks, told.anions, read=False)
    return _by_role(facts, role)


def _by_role(facts: Facts, role: str) -> Facts:
    marks = facts.marks
    if role == "paper":
        return Facts(facts.symbols, marks | {"fuel_material"}, facts.anions, True, facts.composition)
    if role in ORGANIC_BINDERS and not facts.read:
        marks = marks | ({"fuel_material", "flammable_liquid"} if role == "liquid" else {"fuel_material"})
    return Facts(facts.symbols, marks, facts.anions, facts.read, facts.composition)


@lru_cache(maxsize=8192)
def _by_name(name: str) -> Facts:
    """What a trade name says on its own; unread where it says nothing."""
    if names.WATER.match(name):
        return WATER
    if names.SAND.match(name):
        return SAND
    full, name = name, names.ASSAY_NOTE.sub("", name)
    marks = {mark for mark, pattern in NAMED_MARKS if pattern.search(name)}
    symbols = {symbol for symbol, pattern in names.TOXIC.items() if pattern.search(name)}
    if names.CHROMATE.search(full) and not names.CHROMATE_DENIED.search(full):
        marks.add("chromate")
    if names.METAL.search(name):
        marks |= {"metal_powder", "fuel_material"}
    anions = frozenset(anion for anion, pattern in NAMED_ANIONS if pattern.search(name))
    if anions or not marks & KNOWN_BY_NAME:
        return Facts(frozenset(symbols), frozenset(marks), anions, read=False)
    return Facts(frozenset(symbols) | {"C", "H", "O"}, frozenset(marks))


NAMED_MARKS = tuple(
    (mark, pattern)
    for pattern, marks in (
        (names.CHARCOAL, ("charcoal", "fuel_material", "organic", "carbon_gas")),
        (names.SULFUR, ("sulfur", "fuel_material")),
        (names.ROSIN, ("rosin", "fuel_material", "organic", "carbon_gas")),
        (names.ORGANIC, ("fuel_material", "organic")),
        (names.ORGANIC_SALT, ("fuel_material", "carbon_gas")),
        (names.SOLVENT, ("flammable_liquid", "fuel_material", "organic")),
        (names.DRYING_OIL, ("drying_oil", "fuel_material", "organic")),
        (names.SULFIDE, ("sulfide", "fuel_material")),
        (names.PHOSPHORUS, ("fuel_material",)),
        (names.HYPOCHLORITE, ("hypochlorite",)),
        (names.ACID, ("acid_matter",)),
        (names.NITRATE, ("nitrate",)),
        (names.NITRITE, ("nitrate", "nitrite")),
        (names.AMMONIUM, ("ammonium",)),
        (names.CHLORIDE, ("chloride",)),
        (names.FLUORIDE, ("fluoride",)),
        (names.SULFATE, ("sulfate",)),
        (names.OXIDISER, ("strong_oxidiser",)),
        (names.CYANIDE, ("fuel_material",)),
        (names.WHITE_PHOSPHORUS, ("white_phosphorus",)),
        (names.ALKALI_METAL, ("alkali_metal",)),
        (names.WATER_REACTIVE, ("water_reactive",)),
        (names.ANHYDROUS_CHLORIDE, ("water_reactive_chloride",)),
        (names.WATER_REACTIVE_CHLORIDE, ("water_reactive_chloride",)),
        (names.FORM_OPEN, ("form_open",)),
        (names.HYDROGEN_FLUORIDE, ("hydrogen_fluoride",)),
    )
    for mark in marks
)
NAMED_ANIONS = (
    ("N3", names.AZIDE),
    ("ClO3", names.CHLORATE),
    ("ClO4", names.PERCHLORATE),
    ("CN", names.CYANIDE),
    ("SCN", names.THIOCYANATE),
)
ONLY_UNREAD = frozenset(
    ["nitrate", "nitrite", "ammonium", "chloride", "fluoride", "sulfate", "strong_oxidiser", "white_phosphorus"]
) | {
    "alkali_metal",
    "water_reactive",
    "water_reactive_chloride",
    "hydrogen_fluoride",
    "carbon_gas",
    "form_open",
    "acid_matter",
}
"""Marks that a name gives only where no formula can be read: a formula knows these better."""
KNOWN_BY_NAME = frozenset({"organic"})
"""A name that says it is organic is enough to check its elements; every other name without a formula stays unread."""
