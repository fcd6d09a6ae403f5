"""Chemical formulas, read strictly: exact counts, every character accounted for, ambiguity refused and never guessed.

A formula is one or more compounds joined by a separator (`*`, `·`, `•`, `+`), each with an optional count before it.
Counts may be whole, decimal or, before a compound, a fraction. A full stop is a decimal point unless the text on both
of its sides is a compound: a whole formula, a full stop and nH2O is read as the hydrate, anything else is refused with
both readings named.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache
from itertools import pairwise
from types import MappingProxyType
from typing import Final

from bench.science.formula_reader import SEPARATOR, STOP, Broken, Part, Places, cleaned, read_part
from bench.science.refusal import Refusal
from bench.science.weights import G_MOL, WEIGHTS
from bench.translation import _

NONMETALS: Final = frozenset(["H", "C", "N", "O", "F", "P", "S", "Cl", "Se", "Br", "Te", "I"])
MOST_STOPS: Final = 24
WATER: Final = ((Fraction(1), (("H", Fraction(2)), ("O", Fraction(1)))),)
DECIMAL: Final = re.compile(r"[0-9]+\.[0-9]+")
SUBSCRIPTS: Final = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")

Piece = tuple[tuple[str, Fraction], ...]


@dataclass(frozen=True, eq=False)
class Formula:
    """A formula that was read.

    `text` is it as typed; `counts` the atoms of each element in one formula unit, exact; `runs` each bracket group and
    each run outside brackets, in written order, as (how often it stands in the whole, its symbols with their counts).
    """

    text: str
    counts: Mapping[str, Fraction]
    runs: tuple[tuple[Fraction, Piece], ...]

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """The symbols with their own counts of each bracket group and each run outside brackets, in written order."""
        return tuple(piece for _, piece in self.runs)

    @cached_property
    def molar_mass_g_mol(self) -> float:
        """Grams per mole of formula units, by the conventional atomic weights."""
        return sum(float(count) * G_MOL[symbol] for symbol, count in self.counts.items())

    @cached_property
    def molar_mass_range_g_mol(self) -> tuple[float, float]:
        """The lowest and highest grams per mole that normal materials can have, by the intervals of the weights."""
        weights = [(float(count), WEIGHTS[symbol]) for symbol, count in self.counts.items()]
        low = sum(count * min(weight.low_g_mol, weight.g_mol) for count, weight in weights)
        high = sum(count * max(weight.high_g_mol, weight.g_mol) for count, weight in weights)
        return low, high

    @cached_property
    def numbers(self) -> dict[str, float]:
        """The counts as floats."""
        return {symbol: float(count) for symbol, count in self.counts.items()}


def parse(text: str, field: str = "formula") -> Formula:
    """The formula in a text; raises Refusal, with the place and for an ambiguous full stop both readings.

    Limits: 200 characters, subscripts up to 9,999 with up to 9 decimals, brackets up to 6 deep.
    """
    try:
        return _parse(text)
    except Broken as broken:
        raise Refusal(str(broken), field) from None


@lru_cache(maxsize=4096)
def parsed(text: str) -> Formula | None:
    """The formula of a text; None where it cannot be read."""
    try:
        return parse(text)
    except Refusal:
        return None


def atoms_of(text: str) -> Mapping[str, Fraction]:
    """The atoms of each element in a text's formula; none where it cannot be read."""
    formula = parsed(text)
    return formula.counts if formula is not None else {}


@lru_cache(maxsize=4096)
def pretty(text: str) -> str:
    """The formula with Unicode subscripts and raised dots, for a screen; what is no formula comes back as it is."""
    try:
        formula_parts = _parts(text)
    except Broken:
        return text
    return "·".join(_pretty_part(places) for places in formula_parts)


@lru_cache(maxsize=4096)
def _parse(text: str) -> Formula:
    parts = [read_part(places) for places in _parts(text)]
    runs = tuple((part.count * times, piece) for part in parts for times, piece in part.runs)
    return Formula(text, MappingProxyType(_total(runs)), runs)


def _total(runs: Iterable[tuple[Fraction, Piece]]) -> dict[str, Fraction]:
    counts: dict[str, Fraction] = {}
    for times, piece in runs:
        for symbol, count in piece:
            counts[symbol] = counts.get(symbol, Fraction(0)) + times * count
    return counts


def _parts(text: str) -> list[Places]:
    """The compounds of a formula, as characters with their places, with every full stop decided."""
    parts: list[Places] = []
    segment: Places = []
    end = (SEPARATOR, len(text) + 1)
    for place in [*cleaned(text), end]:
        if place[0] != SEPARATOR:
            segment.append(place)
            continue
        if not segment:
            raise Broken(_missing(text, place[1]), place[1])
        parts.extend(_decided(segment))
        segment = []
    return parts


def _missing(text: str, place: int) -> str:
    if "+" in (text[place - 1 : place], text.rstrip()[-1]):
        return _("Nothing is beside the +; a formula has no charge")
    return _("A compound is missing beside the separator")


def _decided(segment: Places) -> list[Places]:
    """The segment cut at those full stops that separate compounds; refuses when that can be read in several ways."""
    stops = [i for i, (char, _) in enumerate(segment) if char == STOP]
    if not stops:
        return [segment]
    if len(stops) > MOST_STOPS:
        raise Broken(
            _("There are more than {most_stops} full stops here: write * between compounds", most_stops=MOST_STOPS),
            segment[stops[0]][1],
        )
    readings = _readings(segment, stops)
    if not readings:
        read_part(segment)  # says where it breaks off
    whole = [[segment]] if [segment] in readings else []
    hydrates = [reading for reading in readings if len(reading) == 2 and _is_water(read_part(reading[1]))]
    if len(readings) == len(whole):
        return whole[0]
    if len(hydrates) == 1 and len(readings) == len(whole) + 1:
        return hydrates[0]
    raise Broken(_both(segment, readings), segment[stops[0]][1])


def _readings(segment: Places, stops: list[int]) -> list[list[Places]]:
    """Up to four ways to read the full stops of a segment, each as its compounds; none where no way holds."""
    cuts = [*stops, len(segment)]
    found: dict[int, list[list[Places]]] = {len(segment) + 1: [[]]}
    for start in [*reversed([stop + 1 for stop in stops]), 0]:
        ways: list[list[Places]] = []
        for end in cuts:
            if end < start or len(ways) > 3:
                continue
            places = segment[start:end]
            part = _part_or_none(places)
            alone = start == 0 and end == len(segment)
            if part is not None and (alone or _is_compound(part)):
                ways.extend([places, *rest] for rest in found[end + 1])
        found[start] = ways[:4]
    return found[0]


def _part_or_none(places: Places) -> Part | None:
    try:
        return read_part(places) if places else None
    except Broken:
        return None


def _is_water(part: Part) -> bool:
    return part.runs == WATER


def _is_compound(part: Part) -> bool:
    """True for what can stand beside a full stop: two elements with a nonmetal; bare hydrogen is a likely slip."""
    symbols = set(_total(part.runs))
    return symbols == {"H"} or (len(symbols) > 1 and bool(symbols & NONMETALS))


def _both(segment: Places, readings: list[list[Places]]) -> str:
    written = "".join(char for char, _ in segment)
    shown = ["·".join("".join(char for char, _ in places) for places in reading) for reading in readings]
    decimals = _(" and ").join(DECIMAL.findall(written))
    shown = [
        _("{written} with the amount {decimals}", written=written, decimals=decimals) if text == written else text
        for text in shown
    ]
    if len(shown) == 1:
        shown.append(_("a decimal point that lost a digit"))
    return _(
        "The full stop in {written} can be read as {shown}. Write * between compounds. Put a decimal amount in "
        "brackets, as in Y(In1.8)MnO3",
        written=written,
        shown=_(" or as ").join(shown),
    )


def _pretty_part(places: Places) -> str:
    """One compound with subscripts; the count before it stays on the line."""
    text = "".join(char for char, _ in places)
    head = len(text) - len(text.lstrip("0123456789./½¼¾"))
    body = text[head:]
    marked = [char.translate(SUBSCRIPTS) for char in body]
    for i, (before, char) in enumerate(pairwise(body), start=1):
        if char == STOP and before.isdigit():
            marked[i] = "."
    return text[:head] + "".join(marked)


def group_count(formula: Formula, *group: tuple[str, int]) -> float:
    """How often a group stands in a formula unit, as written in one run: `("N", 1), ("H", 4)` finds ammonium."""
    wanted = tuple((symbol, Fraction(count)) for symbol, count in group)
    found = Fraction(0)
    for times, piece in formula.runs:
        found += times * sum(piece[i : i + len(wanted)] == wanted for i in range(len(piece) - len(wanted) + 1))
    return float(found)
