"""Blends between two or three corners: the points of a simplex lattice, and fits over them.

The lattice {q, m} and its (q+m-1)!/(m!(q-1)!) points: NIST/SEMATECH e-Handbook of Statistical Methods, 5.5.4.2.
"""

from collections.abc import Mapping, Sequence
from fractions import Fraction


def lattice(corners: int, steps: int) -> list[tuple[Fraction, ...]]:
    """The fractions of each point of a {corners, steps} lattice, the last corner first, as the handbook lists them."""
    if corners == 1:
        return [(Fraction(1),)]
    return [tuple(Fraction(part, steps) for part in parts) for parts in _parts(corners, steps)]


def _parts(corners: int, total: int) -> list[tuple[int, ...]]:
    if corners == 1:
        return [(total,)]
    return [(first, *rest) for first in range(total + 1) for rest in _parts(corners - 1, total - first)]


def blended_g(fractions: Sequence[float], corners: Sequence[Mapping[str, float]]) -> dict[str, float]:
    """Grams of each component when these fractions of the corners' batches are mixed, in the order first named."""
    amounts: dict[str, float] = {}
    for fraction, corner in zip(fractions, corners, strict=True):
        for name, g in corner.items():
            amounts[name] = amounts.get(name, 0.0) + fraction * g
    return amounts
