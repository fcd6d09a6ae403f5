"""Solid solutions: which member of a target's family a typed formula is, and the formula of the member at a given x.

A family is written as in the reference data: `Zn(1-x)Co(x)O`. Its counts are linear in x, so a typed formula belongs to
it when its counts are a multiple of them for some x; that x comes out of a least-squares fit of two unknowns.
"""

import re
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from bench.reference import Library
from bench.reference.things import Target
from bench.science.formulas import Formula, atoms_of
from bench.science.refusal import Refusal
from bench.translation import _

PLACE = re.compile(r"\(([0-9.+-]*[xy][0-9.+-]*)\)")
TERM = re.compile(r"([+-]?)(\d*\.?\d*)([xy]?)")
STANDS_FOR = re.compile(r"\b([A-Z]) = ([A-Z][a-z]?(?:, [A-Z][a-z]?)*)")
TRIED_AT = (0.01, 0.02)
"""Two values of x at which every family of the data has a formula."""
NEAR = 2e-3
"""How near the counts must come, as a part of the largest: three figures are usual in a typed formula."""


@dataclass(frozen=True)
class Member:
    """A target of the library that a formula belongs to; `x` is None where it is no family or is met exactly."""

    target: Target
    x: float | None

    @property
    def in_range(self) -> bool:
        """Whether x lies in the range that is known to work; true where no range is on record."""
        low, high = self.target.x_low, self.target.x_high
        return self.x is None or low is None or high is None or low - 1e-6 <= self.x <= high + 1e-6


def family_of(target: Target) -> str | None:
    """The family's pattern, such as `Zn(1-x)Co(x)O`; None where the target has none that can be reckoned with."""
    for text in re.split(r"[;,]", target.formula_family):
        pattern = text.strip().split(" ")[0]
        line = _line(pattern) if PLACE.search(pattern) else None
        if line is not None and set(atoms_of(target.formula)) <= set(line[0]):
            return pattern
    return None


def patterns_of(target: Target) -> list[str]:
    """Every pattern of a target's family, a letter that stands for several metals written out for each.

    `Cu(1-x)M(x)Cr2O4, M = Fe, Mn` gives `Cu(1-x)Fe(x)Cr2O4` and `Cu(1-x)Mn(x)Cr2O4`.
    """
    letter = STANDS_FOR.search(target.formula_family)
    if letter is None:
        own = family_of(target)
        return [own] if own else []
    pattern = target.formula_family.split(",")[0].strip()
    written = [re.sub(rf"(?<![A-Za-z]){letter[1]}(?=\()|(?<=\)){letter[1]}(?=\()", metal, pattern)
               for metal in re.findall(r"[A-Z][a-z]?", letter[2])]  # fmt: skip
    return [each for each in written if _line(each) is not None]


def formula_at(pattern: str, x: float, field: str = "x") -> str:
    """The formula of the member at x, such as `Zn0.78Co0.22O` for 0.22; Refusal where a count would be negative."""
    counts = [_value(match[1], x) for match in PLACE.finditer(pattern)]
    if any(count < 0 for count in counts):
        raise Refusal(
            _("With x = {x:g}, one count in {pattern} is negative: take a smaller x.", x=x, pattern=pattern),
            field,
        )
    written = iter(counts)
    text = re.sub(r"[A-Z][a-z]?\(0\)", "", PLACE.sub(lambda _: f"({next(written):.6g})", pattern))
    return re.sub(r"(?<=[A-Za-z)])\(([0-9.]+)\)", lambda m: "" if m[1] == "1" else m[1], text)


def member_of(formula: Formula, library: Library) -> Member | None:
    """The target whose formula or family a formula belongs to, or None; the exact one comes first."""
    counts = dict(formula.counts)
    for target in library.targets.values():
        if atoms_of(target.formula) == counts:
            return Member(target, None)
    found = [member for target in library.targets.values() if (member := _member(formula, target)) is not None]
    found.sort(key=lambda member: not member.in_range)
    return found[0] if found else None


def _member(formula: Formula, target: Target) -> Member | None:
    found = (_member_by(formula, target, pattern) for pattern in patterns_of(target))
    return next((member for member in found if member is not None), None)


def _member_by(formula: Formula, target: Target, pattern: str) -> Member | None:
    line = _line(pattern)
    if line is None or set(line[0]) != set(formula.counts):
        return None
    symbols = sorted(line[0])
    ends = np.array([[at[symbol] for at in line] for symbol in symbols])
    slope = (ends[:, 1] - ends[:, 0]) / (TRIED_AT[1] - TRIED_AT[0])
    start = ends[:, 0] - slope * TRIED_AT[0]
    typed = np.array([float(formula.counts[symbol]) for symbol in symbols])
    (size, sized_x), *_ = np.linalg.lstsq(np.column_stack([start, slope]), typed, rcond=None)
    miss = np.abs(start * size + slope * sized_x - typed).max()
    if size <= 0 or miss > NEAR * typed.max():
        return None
    return Member(target, round(float(sized_x / size), 4))


@lru_cache(maxsize=256)
def _line(pattern: str) -> tuple[dict[str, float], dict[str, float]] | None:
    """The counts of a family at two values of x; None where the pattern cannot be reckoned with."""
    low, high = TRIED_AT
    first, second = _at(pattern, low), _at(pattern, high)
    return (first, second) if first and second and set(first) == set(second) else None


def _at(pattern: str, x: float) -> dict[str, float]:
    return {symbol: float(count) for symbol, count in atoms_of(formula_at(pattern, x)).items()}


def _value(text: str, x: float) -> float:
    """The value of a sum such as `2-3x`."""
    total = 0.0
    for sign, number, letter in TERM.findall(text):
        if number or letter:
            value = float(number) if number else 1.0
            total += (-1 if sign == "-" else 1) * value * (x if letter else 1.0)
    return round(total, 9)
