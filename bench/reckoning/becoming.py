"""What a mortar can become, when no target was named: the ratio of its metals, and the known targets by their fit."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from bench.reckoning import reckon
from bench.reference import Library
from bench.science.formulas import atoms_of, parse
from bench.science.refusal import Refusal
from bench.science.usual_oxides import VOLATILE
from bench.science.weights import G_MOL

MOST_LACKING = 3
LEAST_SHARE = 0.02
"""A metal that is under this share of the moles of the mortar's metals is a trace (project default)."""


@dataclass(frozen=True)
class Fit:
    """How a mortar fits a target. `pct` of what is fired becomes it, `target_g` grams at most.

    `left` is what stays over: (oxide, grams, hint of its colour). `missing_g` are grams of each element that is not in
    the mortar and would take up the rest; `pct` is 0 then.
    """

    slug: str
    name: str
    formula: str
    colour: str
    pct: float
    target_g: float
    left: tuple[tuple[str, float, str | None], ...] = ()
    missing_g: tuple[tuple[str, float], ...] = ()


def metals_mol(weighed: Sequence[Mapping[str, Any]]) -> dict[str, float]:
    """Moles of each element that stays in the fire, of lines with `formula`, `g` and `assay_pct`; fluxes left out."""
    found: dict[str, float] = {}
    for line in weighed:
        if line.get("fate", "reacts") != "reacts":
            continue
        formula = parse(line["formula"])
        units = line["g"] * line.get("assay_pct", 100.0) / 100 / formula.molar_mass_g_mol
        for symbol, count in formula.counts.items():
            if symbol not in VOLATILE:
                found[symbol] = found.get(symbol, 0.0) + float(count) * units
    return found


def ratio(mol: Mapping[str, float]) -> dict[str, float]:
    """The metals against the scarcest that is no trace."""
    whole = sum(mol.values())
    least = min((n for n in mol.values() if n > LEAST_SHARE * whole), default=whole) or 1.0
    return {symbol: n / least for symbol, n in mol.items()}


def fits(weighed: Sequence[Mapping[str, Any]], library: Library, most: int = 6) -> list[Fit]:
    """The targets that a mortar can become, the best fit first; after them those that lack one element."""
    try:
        mol = metals_mol(weighed)
    except Refusal:
        return []
    found = []
    for target in library.targets.values():
        wanted = _wanted(target.formula) if target.status == "plannable" else {}
        lacking = [symbol for symbol in wanted if symbol not in mol]
        if not wanted or len(lacking) > 1 or not set(wanted) & set(mol):
            continue
        one = _lacking(target, wanted, lacking[0], mol) if lacking else _whole(target, weighed, library)
        found += [one] if one is not None else []
    whole = sorted((one for one in found if not one.missing_g), key=lambda one: (-one.pct, one.name))
    lack = sorted((one for one in found if one.missing_g), key=lambda one: (-_held(one.formula, mol), one.name))
    return [*whole[:most], *lack[: max(0, min(MOST_LACKING, most - len(whole)))]]


def _wanted(formula: str) -> dict[str, float]:
    return {symbol: float(n) for symbol, n in atoms_of(formula).items() if symbol not in VOLATILE}


def _held(formula: str, mol: Mapping[str, float]) -> float:
    """The share of the mortar's metals that a formula holds at all."""
    return sum(n for symbol, n in mol.items() if symbol in _wanted(formula)) / (sum(mol.values()) or 1.0)


def _whole(target: Any, weighed: Sequence[Mapping[str, Any]], library: Library) -> Fit | None:
    try:
        told = reckon("balance", {"weighed": [dict(one) for one in weighed], "target": target.formula}, library)
    except Refusal:
        return None
    pct = told["target_fraction_pct"] or 0.0
    left = tuple((one["oxide"], one["g"], one["colour_hint"]) for one in told["left_over"] if one["g"] > 0.0005)
    return Fit(target.slug, target.name, target.formula, target.colour_words, pct, told["target_g"] or 0.0, left)


def _lacking(target: Any, wanted: Mapping[str, float], lacking: str, mol: Mapping[str, float]) -> Fit:
    units = min(mol[symbol] / n for symbol, n in wanted.items() if symbol in mol)
    grams = units * wanted[lacking] * G_MOL[lacking]
    return Fit(target.slug, target.name, target.formula, target.colour_words, 0.0, 0.0, (), ((lacking, grams),))
