"""Effects from repeats: the spread within levels, pooled, and how far a level must lie from its reference to be told.

Everything is worked out for plain numbers, one a batch; a spread within one batch says nothing of another.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import cos, pi, sin, sqrt, tan
from statistics import fmean
from typing import Any

FALSE_SHARE = 0.05
"""So seldom may chance alone make any of the differences that are asked for at once (common practice)."""
FEWEST_FREE = 2
"""Fewer repeats beyond the first of each level tell no spread (project default)."""


def _inside(angle: float, free: int) -> float:
    """The share of Student's t within ±√free·tan(angle), for so many degrees of freedom.

    Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.3 (odd) and 26.7.4 (even): finite sums, exact.
    The equations are from memory; a test holds them against published critical values.
    """
    cosine, square = cos(angle), cos(angle) ** 2
    if free % 2:
        if free == 1:
            return 2 * angle / pi
        return 2 / pi * (angle + sin(angle) * _sum(cosine, square, free, 2, 3))
    return sin(angle) * _sum(1.0, square, free, 1, 2)


def _sum(first: float, square: float, free: int, above: int, below: int) -> float:
    """The terms of the series: each one cos² and above/below times the one before it."""
    total, term = 0.0, first
    for n in range((free - 1) // 2 if free % 2 else free // 2):
        total += term
        term *= square * (above + 2 * n) / (below + 2 * n)
    return total


@lru_cache(maxsize=500)
def t_quantile(false_share: float, free: int) -> float:
    """The t beyond which, on both sides together, a share of `false_share` lies: by halving, to 12 digits."""
    low, high = 0.0, pi / 2
    for _step in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if _inside(middle, free) < 1 - false_share else (low, middle)
    return tan((low + high) / 2) * sqrt(free)


@dataclass(frozen=True)
class Effect:
    """One level against the reference: how far its mean lies off, and how far it must to be told from chance."""

    level: Any
    difference: float
    half_width: float

    @property
    def told(self) -> bool:
        """Whether it is told from chance. Repeats without any spread hide it in their rounding: they tell nothing."""
        return abs(self.difference) > self.half_width > 0


@dataclass(frozen=True)
class Effects:
    """All levels against the reference. `pooled_s` is the spread within the levels, `free` its degrees of freedom.

    `effects` is empty where too few were repeated.
    """

    pooled_s: float | None
    free: int
    reference: Any
    effects: tuple[Effect, ...] = ()


def effects(groups: Mapping[Any, Sequence[float]], reference: Any, asked: int) -> Effects:
    """What each level does against the reference, where `asked` differences are asked for at once (Bonferroni).

    Pooled standard deviation and t interval of a difference of two means: NIST/SEMATECH e-Handbook of Statistical
    Methods, 7.3.1 and 7.4.3, from memory.
    """
    filled = {level: values for level, values in groups.items() if values}
    free = sum(len(values) - 1 for values in filled.values())
    if free < FEWEST_FREE or reference not in filled or len(filled) < 2:
        return Effects(None, free, reference)
    inner = sum((value - fmean(values)) ** 2 for values in filled.values() for value in values)
    pooled = sqrt(inner / free)
    t = t_quantile(FALSE_SHARE / max(1, asked), free)
    base, repeats = fmean(filled[reference]), len(filled[reference])
    return Effects(
        pooled,
        free,
        reference,
        tuple(
            Effect(level, fmean(values) - base, t * pooled * sqrt(1 / len(values) + 1 / repeats))
            for level, values in filled.items()
            if level != reference
        ),
    )
