"""The groups in a formula: what the sulfur and the chlorine in it are bound to."""

from fractions import Fraction

from bench.reckoning.rules.charges import mean_charge
from bench.reckoning.rules.groups import dry_counts, ratio
from bench.science.formulas import Formula, Piece


def sulfur_kinds(formula: Formula, known: dict[str, Fraction]) -> frozenset[str]:
    """Sulfur by kind: element, sulfate, sulfide, cyanide (thiocyanate), or reduced (sulfite, thiosulfate and the
    like)."""
    if "S" not in formula.counts:
        return frozenset()
    if set(formula.counts) == {"S"}:
        return frozenset({"element"})
    charge = mean_charge(formula.counts, "S", known) if "C" not in formula.counts or "C" in known else None
    return frozenset(
        _sulfur_kind(formula, piece, at, charge)
        for _, piece in formula.runs
        for at, (symbol, _) in enumerate(piece)
        if symbol == "S"
    )


def _sulfur_kind(formula: Formula, piece: Piece, at: int, charge: Fraction | None) -> str:
    after, before = ratio(piece, at, 1, "O"), ratio(piece, at, -1, "O")
    if after:
        oxidised = after >= Fraction(7, 2) or (charge is not None and charge >= Fraction(11, 2))
        return "sulfate" if oxidised else "reduced"
    if {"C", "N"} <= {symbol for symbol, _ in piece}:
        return "cyanide"
    dry = dry_counts(formula)
    if "O" not in dry or (charge is not None and charge <= Fraction(1, 2)):
        return "sulfide"
    if before >= Fraction(7, 2) or (charge is not None and charge > 5):
        return "sulfate"
    return "reduced" if before else "sulfide"


def chlorine_kinds(formula: Formula, known: dict[str, Fraction]) -> frozenset[str]:
    """Chlorine by kind: chloride, hypochlorite, chlorite, chlorate, perchlorate; by the letters, checked by the
    balance."""
    if "Cl" not in formula.counts:
        return frozenset()
    charge = mean_charge(formula.counts, "Cl", known) if "C" not in formula.counts or "C" in known else None
    if charge is not None and charge <= 0:
        return frozenset({"chloride"})
    kinds = {_chlorine_by_letters(piece, at) for _, piece in formula.runs for at, _ in _each(piece, "Cl")}
    if charge is not None and kinds == {"chloride"}:
        kinds = {_chlorine_by_charge(charge)}
    return frozenset(kinds)


def _each(piece: Piece, symbol: str) -> list[tuple[int, Fraction]]:
    return [(at, count) for at, (found, count) in enumerate(piece) if found == symbol]


def _chlorine_by_letters(piece: Piece, at: int) -> str:
    oxygen = ratio(piece, at, 1, "O")
    for least, kind in ((4, "perchlorate"), (3, "chlorate"), (2, "chlorite"), (1, "hypochlorite")):
        if oxygen >= least:
            return kind
    return "chloride"


def _chlorine_by_charge(charge: Fraction) -> str:
    for least, kind in ((6, "perchlorate"), (4, "chlorate"), (2, "chlorite")):
        if charge >= least:
            return kind
    return "hypochlorite"
