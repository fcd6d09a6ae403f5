"""How much of each reagent a target needs: least squares on the elements, with shares and fixed amounts.

An element counts as bound when it cannot leave as gas; of the others (S, N, C and the halogens) a target may hold some,
and what it does not hold leaves. Oxygen and hydrogen come and go with the air and are never short.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from bench.science.nnls import nnls
from bench.science.refusal import Refusal
from bench.science.usual_oxides import VOLATILE
from bench.translation import _

Array = npt.NDArray[np.float64]
FREE_TO_COME: Final = frozenset(["O", "H"])
EXACT: Final = 1e-9
HEAVY: Final = 1e5


@dataclass(frozen=True)
class Source:
    """A reagent that reacts: the atoms in one mole of it; its amount where fixed; its share where one is given."""

    name: str
    atoms: Mapping[str, float]
    fixed_mol: float | None = None
    share: float | None = None


@dataclass(frozen=True)
class Amounts:
    """Moles of each source in the order given; the target's elements that are over, and that are short, in mol."""

    mol: tuple[float, ...]
    excess: Mapping[str, float]
    short: Mapping[str, float]


def rows_of(target: Mapping[str, float]) -> list[str]:
    """The elements of a target that reagents must bring, those that stay first."""
    return sorted((symbol for symbol in target if symbol not in FREE_TO_COME), key=lambda symbol: symbol in VOLATILE)


def missing(target: Mapping[str, float], sources: Sequence[Source]) -> list[str]:
    """The elements of a target that none of the sources brings."""
    return [symbol for symbol in rows_of(target) if not any(source.atoms.get(symbol) for source in sources)]


def amounts(target: Mapping[str, float], target_mol: float, sources: Sequence[Source]) -> Amounts:
    """Moles of each source for `target_mol` of a target, given as its atoms.

    Raises Refusal with the field `reagents[i]…` when an element of the target is brought by none, when a free source
    brings nothing that is wanted, or when several sources could stand for each other and no shares say how.
    """
    absent = missing(target, sources)
    if absent:
        raise Refusal(
            _("No reagent here brings {absent}. Add one that does.", absent=_(" or ").join(absent)), "reagents"
        )
    need = {symbol: target[symbol] * target_mol for symbol in rows_of(target)}
    mol = [source.fixed_mol or 0.0 for source in sources]
    free = [i for i, source in enumerate(sources) if source.fixed_mol is None]
    _refuse_idle(need, sources, free)
    if free:
        left = {symbol: need[symbol] - _supplied(symbol, sources, mol) for symbol in need}
        columns = _columns(need, sources, free)
        for column, size in zip(columns, _solved(left, need, sources, columns), strict=True):
            for i, weight in column.members:
                mol[i] = size * weight
    over = {symbol: _supplied(symbol, sources, mol) - need[symbol] for symbol in need}
    excess = {symbol: amount for symbol, amount in over.items() if amount > EXACT * need[symbol]}
    short = {symbol: -amount for symbol, amount in over.items() if amount < -EXACT * need[symbol]}
    return Amounts(tuple(mol), excess, short)


def formed_mol(target: Mapping[str, float], supplied: Mapping[str, float]) -> tuple[float, list[str]]:
    """The most moles of a target that supplied moles of elements can form, and the elements that limit it.

    No element limits when all that stay stand in the target's ratio; what is over of the others leaves as gas.
    """
    reach = {symbol: supplied.get(symbol, 0.0) / target[symbol] for symbol in rows_of(target)}
    stays = [mol for symbol, mol in reach.items() if symbol not in VOLATILE] or list(reach.values())
    least, most = min(reach.values(), default=0.0), max(stays, default=0.0)
    if most - least <= EXACT * most:
        return least, []
    return least, [symbol for symbol, mol in reach.items() if mol - least <= EXACT * most]


@dataclass(frozen=True)
class _Column:
    """One unknown: a source alone, or several held in a ratio by their shares, as (index, moles for one unit)."""

    members: tuple[tuple[int, float], ...]
    atoms: Mapping[str, float]


def _supplied(symbol: str, sources: Sequence[Source], mol: Sequence[float]) -> float:
    return sum(amount * source.atoms.get(symbol, 0.0) for source, amount in zip(sources, mol, strict=True))


def _refuse_idle(need: Mapping[str, float], sources: Sequence[Source], free: Sequence[int]) -> None:
    for i in free:
        if not any(sources[i].atoms.get(symbol) for symbol in need):
            raise Refusal(
                _(
                    "{name} brings nothing for the target. Give its fate, and its amount in g, parts or mol.",
                    name=sources[i].name,
                ),
                f"reagents[{i}].fate",
            )


def _columns(need: Mapping[str, float], sources: Sequence[Source], free: Sequence[int]) -> list[_Column]:
    """The unknowns: sources with shares of one element are one unknown together."""
    shared = [i for i in free if sources[i].share is not None]
    alone = [i for i in free if i not in shared]
    groups: dict[str, list[tuple[int, float]]] = {}
    for i in shared:
        symbol = _shared_element(i, need, sources, free)
        groups.setdefault(symbol, []).append((i, sources[i].share or 0.0))
    columns = []
    for symbol, members in groups.items():
        rest = [i for i in alone if sources[i].atoms.get(symbol) and _bound_like(sources[i], symbol, need)]
        for i in rest:
            alone.remove(i)
        columns.append(_group(symbol, members, rest, sources))
    columns += [_Column(((i, 1.0),), sources[i].atoms) for i in alone]
    _refuse_undecided(need, sources, columns)
    return columns


def _bound_like(source: Source, symbol: str, need: Mapping[str, float]) -> bool:
    """True when the source brings that one bound element of the target and no other."""
    return [each for each in need if source.atoms.get(each) and each not in VOLATILE] == [symbol]


def _shared_element(i: int, need: Mapping[str, float], sources: Sequence[Source], free: Sequence[int]) -> str:
    """The element of which the source has a share: the first that it and another free source bring."""
    brought = [symbol for symbol in need if sources[i].atoms.get(symbol)]
    others = [j for j in free if j != i]
    for only in (True, False):
        for symbol in brought:
            if any(sources[j].atoms.get(symbol) and (sources[j].share is not None or not only) for j in others):
                return symbol
    return brought[0]


def _group(symbol: str, members: list[tuple[int, float]], rest: list[int], sources: Sequence[Source]) -> _Column:
    """Sources that bring parts of one element, as one unknown; one without a share takes what the others leave."""
    total = sum(share for _, share in members)
    first = members[0][0]
    if rest:
        whole = 100.0 if total > 1 + EXACT else 1.0
        if len(rest) > 1:
            names = _(" and ").join(sources[i].name for i in rest)
            raise Refusal(
                _("{names} both bring {symbol} too: give each a share.", names=names, symbol=symbol),
                f"reagents[{rest[1]}].share",
            )
        if total >= whole:
            raise Refusal(
                _(
                    "The shares of {symbol} leave nothing for {name}: give {name} a share too.",
                    symbol=symbol,
                    name=sources[rest[0]].name,
                ),
                f"reagents[{first}].share",
            )
        members, total = [*members, (rest[0], whole - total)], whole
    if total <= 0:
        raise Refusal(_("The shares of {symbol} add up to 0.", symbol=symbol), f"reagents[{first}].share")
    scaled = tuple((i, share / total / sources[i].atoms[symbol]) for i, share in members)
    atoms: dict[str, float] = {}
    for i, weight in scaled:
        for each, count in sources[i].atoms.items():
            atoms[each] = atoms.get(each, 0.0) + weight * count
    return _Column(scaled, atoms)


def _matrix(rows: Sequence[str], need: Mapping[str, float], columns: Sequence[_Column]) -> Array:
    """Rows scaled by what is needed of each element, one column an unknown."""
    return np.array([[column.atoms.get(symbol, 0.0) / need[symbol] for column in columns] for symbol in rows])


def _refuse_undecided(need: Mapping[str, float], sources: Sequence[Source], columns: Sequence[_Column]) -> None:
    """Refuses when the elements leave open how much of each source there should be."""
    if not columns:
        return
    matrix = _matrix(list(need), need, columns)
    scaled = matrix / np.linalg.norm(matrix, axis=0)
    if np.linalg.matrix_rank(scaled, tol=1e-9) == len(columns):
        return
    for symbol in need:
        bring = [column.members[0][0] for column in columns if column.atoms.get(symbol)]
        if len(bring) > 1:
            names = _(" and ").join(sources[i].name for i in bring)
            raise Refusal(
                _(
                    "{names} all bring {symbol}. Give each a share, or fix all but one.",
                    names=names,
                    symbol=symbol,
                ),
                f"reagents[{bring[1]}].share",
            )
    raise Refusal(_("Many amounts reach this target. Give shares, or fix all but one amount."), "reagents")


def _solved(
    left: Mapping[str, float], need: Mapping[str, float], sources: Sequence[Source], columns: Sequence[_Column]
) -> list[float]:
    """The size of each unknown: exact where that is possible; else nothing is short and little is over."""
    rows = list(need)
    matrix = _matrix(rows, need, columns)
    wanted = np.array([left[symbol] / need[symbol] for symbol in rows])
    x, distance = _fitted(matrix, wanted)
    if distance <= EXACT:
        return [float(size) for size in x]
    stays = {symbol: amount for symbol, amount in need.items() if symbol not in VOLATILE}
    _refuse_undecided(stays, sources, [column for column in columns if any(column.atoms.get(each) for each in stays)])
    bound = np.array([symbol in stays for symbol in rows])
    reachable = matrix.any(axis=1)
    weight = np.where(bound & reachable, 1.0, 0.0)
    for _try in range(8):
        x, _distance = _fitted(matrix * weight[:, None], np.maximum(wanted, 0.0) * weight)
        short = (matrix @ x - wanted < -EXACT) & reachable
        if not (short & (weight < HEAVY)).any():
            break
        weight = np.where(short, HEAVY, weight)
    return [float(size) for size in _lifted(matrix, wanted, x)]


def _fitted(matrix: Array, wanted: Array) -> tuple[Array, float]:
    """Non-negative least squares with every column brought to the same length first."""
    length = np.linalg.norm(matrix, axis=0)
    length[length == 0] = 1.0
    x, distance = nnls(matrix / length, wanted)
    return x / length, distance


def _lifted(matrix: Array, wanted: Array, x: Array) -> Array:
    """The sizes raised by the last trifle that a weighted fit leaves short."""
    supplied = matrix @ x
    ratios = (w / s for w, s in zip(wanted, supplied, strict=True) if s > 0 and w > 0)
    factors = [ratio for ratio in ratios if 1 < ratio < 1.001]
    return x * max(factors, default=1.0)
