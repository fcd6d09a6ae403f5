"""The groups in a formula: what the nitrogen and the carbon in it are bound to.

Formulas are read as they are written, by bracket groups and runs; where a formula lists its elements in an order
that tells nothing (H4N2O3), the balance of charges decides, and where that fails too, every reading that could be
dangerous is kept.
"""

from fractions import Fraction

from bench.reckoning.rules.charges import USUAL, mean_charge
from bench.science.formulas import Formula, Piece

AMINES = (
    {"C": 1, "H": 4, "N": 2, "O": 1},  # urea
    {"C": 2, "H": 5, "N": 1, "O": 2},  # glycine
    {"C": 10, "H": 16, "N": 2, "O": 8},  # EDTA
)
NITROGEN_CHARGE = {"ammonium": -3, "amine": -3, "nitride": -3, "cyanide": -3, "nitrate": 5, "nitrite": 3}
CARBON_CHARGE = {"carbonate": 4, "cyanide": 2, "oxalate": 3}
ORGANIC_CHARGE: dict[tuple[int, int], int | Fraction] = {
    (2, 3): 0,
    (1, 1): 2,
    (6, 5): 1,
    (4, 4): Fraction(3, 2),
    (2, 0): 3,
    (5, 7): Fraction(-4, 5),
}
"""Mean charge of carbon in the usual anions by their C and H: acetate, formate, citrate, tartrate, oxalate,
acetylacetonate."""

Kinds = dict[str, Fraction]
"""How much of an element stands in each kind of group, in atoms a formula unit."""


def is_water(piece: Piece) -> bool:
    """Whether a group is water of crystallisation."""
    counts = dict(piece)
    return set(counts) == {"H", "O"} and len(piece) == 2 and counts["H"] == 2 * counts["O"]


def dry_counts(formula: Formula) -> dict[str, Fraction]:
    """The atoms of each element without water of crystallisation."""
    counts: dict[str, Fraction] = {}
    for times, piece in formula.runs:
        for symbol, count in () if is_water(piece) else piece:
            counts[symbol] = counts.get(symbol, Fraction(0)) + times * count
    return counts


def ratio(piece: Piece, at: int, beside: int, symbol: str) -> Fraction:
    """How many atoms of `symbol` a place of the run (`at` + `beside`) holds for each atom at `at`; 0 where another
    element stands."""
    place = at + beside
    if not 0 <= place < len(piece) or piece[place][0] != symbol:
        return Fraction(0)
    return piece[place][1] / piece[at][1]


def _add(kinds: Kinds, kind: str, amount: Fraction) -> None:
    kinds[kind] = kinds.get(kind, Fraction(0)) + amount


def nitrogen_kinds(formula: Formula) -> Kinds:
    """Nitrogen by kind: ammonium, nitrate, nitrite, cyanide, amine, nitride, or `undecided` (may be ammonium or
    nitrate)."""
    if "N" not in formula.counts:
        return {}
    if any(formula.counts == each for each in AMINES):
        return {"amine": formula.counts["N"]}
    kinds: Kinds = {}
    for times, piece in formula.runs:
        for at, (symbol, count) in enumerate(piece):
            if symbol == "N":
                _add(kinds, _nitrogen_kind(piece, at), times * count)
    return _decided_nitrogen(formula, kinds)


def _nitrogen_kind(piece: Piece, at: int) -> str:
    if ratio(piece, at, 1, "H") >= 3:
        return "ammonium"
    if ratio(piece, at, 1, "H"):
        return "amine"
    if at and piece[at - 1][0] == "C" and piece[at - 1][1] == piece[at][1] and ratio(piece, at, 1, "O") < 2:
        return "cyanide"
    before, after = _hydrogen_before(piece, at), ratio(piece, at, 1, "O")
    if before >= 3:
        return "undecided" if after else "ammonium"
    if after >= Fraction(5, 2):
        return "nitrate"
    if after >= Fraction(3, 2):
        return "undecided" if before else "nitrite"
    if before:
        return "amine" if after < 1 else "undecided"
    return "unbound"


def _hydrogen_before(piece: Piece, at: int) -> Fraction:
    """Hydrogen just before a nitrogen, unless an earlier nitrogen has claimed it (NH4NO3)."""
    if at >= 2 and piece[at - 2][0] == "N":
        return Fraction(0)
    return ratio(piece, at, -1, "H")


def _decided_nitrogen(formula: Formula, kinds: Kinds) -> Kinds:
    """The kinds with the open ones settled by the balance where all nitrogen is of one mind, else left undecided."""
    if "unbound" in kinds:
        oxygen = "O" in dry_counts(formula)
        _add(kinds, "undecided" if oxygen else "nitride", kinds.pop("unbound"))
    if set(kinds) != {"undecided"} or "C" in formula.counts:
        return kinds
    charge = mean_charge(formula.counts, "N", {})
    if charge is None:
        return kinds
    if charge <= Fraction(-5, 2):
        return {"ammonium": kinds["undecided"]}
    if charge >= Fraction(5, 2):
        return {"nitrate" if charge > 4 else "nitrite": kinds["undecided"]}
    return kinds


def carbon_kinds(formula: Formula, nitrogen: Kinds) -> Kinds:
    """Carbon by kind: element, carbonate, cyanide, oxalate, carbide, or organic (bound to hydrogen, carbon, or
    little oxygen)."""
    if "C" not in formula.counts:
        return {}
    if set(formula.counts) == {"C"}:
        return {"element": formula.counts["C"]}
    kinds: Kinds = {}
    for times, piece in formula.runs:
        for at, (symbol, count) in enumerate(piece):
            if symbol == "C":
                _add(kinds, _carbon_kind(piece, at, formula, nitrogen), times * count)
    return kinds


def _carbon_kind(piece: Piece, at: int, formula: Formula, nitrogen: Kinds) -> str:
    oxygen = ratio(piece, at, 1, "O")
    if oxygen >= 3:
        return "carbonate"
    if ratio(piece, at, 1, "N") == 1:
        return "cyanide"
    dry = dry_counts(formula)
    if not {"H", "O", "S"} & set(dry):
        return "cyanide" if "N" in dry else "carbide"
    if oxygen == 2 and piece[at][1] >= 2:
        return "oxalate"
    if not oxygen and "H" not in dry and dry.get("O", Fraction(0)) >= 3 * dry["C"]:
        return "carbonate"  # an order that tells nothing, as in CCaO3
    if ratio(piece, at, 1, "H") and set(nitrogen) <= {"ammonium", "nitrate", "nitrite"}:
        charge = mean_charge(formula.counts, "C", {"N": _total_charge(nitrogen, NITROGEN_CHARGE)})
        return "carbonate" if charge is not None and charge >= Fraction(39, 10) else "organic"
    return "organic"


def _total_charge(kinds: Kinds, charges: dict[str, int]) -> Fraction:
    return sum((charges.get(kind, -3) * amount for kind, amount in kinds.items()), Fraction(0))


def bound_charges(formula: Formula, nitrogen: Kinds, carbon: Kinds) -> dict[str, Fraction]:
    """The total charges of nitrogen and carbon as far as they are known; nitrogen that is undecided is taken at its
    lowest."""
    known: dict[str, Fraction] = {}
    if nitrogen:
        known["N"] = _total_charge(nitrogen, NITROGEN_CHARGE)
    if carbon and set(carbon) <= set(CARBON_CHARGE):
        known["C"] = _total_charge(carbon, CARBON_CHARGE)
    elif set(carbon) == {"organic"}:
        charge = _organic_charge(formula)
        if charge is not None:
            known["C"] = charge * formula.counts["C"]
    return known


def _organic_charge(formula: Formula) -> Fraction | None:
    """The mean charge of carbon in one of the usual organic anions, or None."""
    pairs: set[tuple[Fraction, Fraction]] = set()
    for _, piece in formula.runs:
        carbon = sum((count for symbol, count in piece if symbol == "C"), Fraction(0))
        if carbon:
            pairs.add((carbon, sum((count for symbol, count in piece if symbol == "H"), Fraction(0))))
    if len(pairs) != 1:
        return None
    carbon, hydrogen = pairs.pop()
    for (c, h), charge in ORGANIC_CHARGE.items():
        if carbon * h == hydrogen * c and carbon % c == 0:
            return Fraction(charge)
    return None


def metals_only(symbols: frozenset[str]) -> bool:
    """Whether every element is a metal, or silicon or germanium, which burn like one as powder."""
    return bool(symbols) and not symbols & NOT_METALS


NOT_METALS = frozenset(
    ["H", "He", "B", "C", "N", "O", "F", "Ne", "P", "S", "Cl", "Ar", "As", "Se", "Br", "Kr", "Te", "I", "Xe"]
)
HYDRIDE_PARTNERS = frozenset(symbol for symbol, charge in USUAL.items() if charge > 0) - {"P", "S", "As", "Se"}
