"""What a typed formula or slug means: its formula, its row in the library, and what it does in the fire."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

from bench.reckoning.ask import shown
from bench.reference import Library
from bench.reference.things import Reagent, Target
from bench.science.evolution import Choices, Evolution, Step, from_steps, general
from bench.science.formulas import Formula, atoms_of, parse
from bench.science.refusal import Refusal
from bench.science.usual_oxides import VOLATILE
from bench.translation import _

Counts = Mapping[str, Fraction]
WORD: Final = re.compile(r"[a-z]{4}")
MOST_MET: Final = 4096
FINEST: Final = 1000
"""Amounts in the library's rows are small fractions written as decimals: 0.166667 is 1/6."""


@dataclass(frozen=True)
class Substance:
    """A substance as typed, its formula, and the library's row for it, if there is one."""

    typed: str
    formula: Formula
    row: Reagent | None = None
    sold_as: tuple[str, ...] = ()
    """The forms with different water that are sold by one name, of which this is one; of what has no row."""
    _fires: dict[Choices, Evolution] = field(default_factory=dict, compare=False, repr=False)

    def in_the_fire(self, choices: Choices) -> Evolution:
        """What one mole leaves and gives off in air: by the row's steps, or else by the general rule."""
        if choices not in self._fires:
            known = _known(self.row, self.formula) if self.row is not None else None
            self._fires[choices] = (
                from_steps(self.formula.numbers, *known, choices) if known else general(self.formula, choices)
            )
        return self._fires[choices]


def substance(typed: str, library: Library, field: str) -> Substance:
    """The substance that a formula, a slug or a name of the library means; raises Refusal naming the field."""
    met = _index(library).met
    if typed not in met:
        if len(met) >= MOST_MET:
            met.clear()
        met[typed] = _looked_up(typed, library, field)
    return met[typed]


def _looked_up(typed: str, library: Library, field: str) -> Substance:
    by_slug = library.reagents.get(_slug(typed))
    if by_slug is not None:
        return Substance(typed, parse(by_slug.formula, field), by_slug)
    try:
        formula = parse(typed, field)
    except Refusal:
        named = library.reagent(typed)
        if named is None or _plain(named.formula) == _plain(typed):
            _refuse_name(typed, "reagent", field)
            raise
        return Substance(typed, parse(named.formula, field), named)
    row = _row_for(formula, library)
    pairs = library.pairs_of(formula.text) if row is None else ()
    return Substance(typed, formula, row, tuple(form for pair in pairs for form in (pair.lower, pair.hydrate)))


def target(typed: str, library: Library, field: str) -> tuple[Formula, Target | None]:
    """The formula of a wanted phase, and the library's row for it, from its formula, slug or name."""
    row = library.targets.get(_slug(typed))
    if row is not None:
        return _target_formula(row, field), row
    try:
        formula = parse(typed, field)
    except Refusal:
        row = library.target(typed)
        if row is None or _plain(row.formula) == _plain(typed):
            _refuse_name(typed, "target", field)
            raise
        return _target_formula(row, field), row
    return formula, _index(library).targets.get(frozenset(formula.counts.items()))


def _target_formula(row: Target, field: str) -> Formula:
    try:
        return parse(row.formula, field)
    except Refusal as refusal:
        raise Refusal(
            _("The formula on record for {name} cannot be used: {say}", name=row.name, say=refusal.say), field
        ) from None


def _refuse_name(typed: str, what: str, field: str) -> None:
    """Refuses a text that is a name rather than a formula with a slip."""
    if WORD.search(typed):
        raise Refusal(
            _(
                "{typed} is neither a known {what} nor a formula. Give a formula.",
                what=what,
                typed=shown(typed),
            ),
            field,
        )


def _slug(typed: str) -> str:
    return typed.strip().casefold().replace(" ", "-")


def _plain(text: str) -> str:
    return "".join(char for char in text.casefold() if char.isalnum())


def _row_for(formula: Formula, library: Library) -> Reagent | None:
    """The row of the same composition, or of the same but for its water."""
    index = _index(library)
    exact, dry, counts = index.exact, index.dry, formula.counts
    for row, _counts in exact.get(_key(counts), ()):
        return row
    candidates = ((_water(counts, own), row) for row, own in dry.get(_key(_dry(counts)), ()))
    near = [(abs(water), row) for water, row in candidates if water is not None]
    if not near:
        return None
    return min(near, key=lambda each: each[0])[1]


_Rows = dict[tuple[tuple[str, Fraction], ...], list[tuple[Reagent, Counts]]]


@dataclass(frozen=True)
class _Index:
    """A library's reagents by composition, those with a metal also by it without water; targets; what was looked up."""

    exact: _Rows
    dry: _Rows
    targets: dict[frozenset[tuple[str, Fraction]], Target]
    met: dict[str, Substance]


_INDEXES: dict[str, _Index] = {}


def _index(library: Library) -> _Index:
    """The index of a library, made once for each revision of it."""
    found = _INDEXES.get(library.revision)
    if found is not None:
        return found
    exact: _Rows = {}
    dry: _Rows = {}
    for row in library.reagents.values():
        counts = atoms_of(row.formula)
        if not counts:
            continue
        exact.setdefault(_key(counts), []).append((row, counts))
        if any(symbol not in VOLATILE for symbol in counts):
            dry.setdefault(_key(_dry(counts)), []).append((row, counts))
    while len(_INDEXES) > 3:
        del _INDEXES[next(iter(_INDEXES))]
    targets = {frozenset(atoms_of(each.formula).items()): each for each in reversed(list(library.targets.values()))}
    _INDEXES[library.revision] = _Index(exact, dry, targets, {})
    return _INDEXES[library.revision]


def _dry(counts: Counts) -> Counts:
    return {symbol: count for symbol, count in counts.items() if symbol not in ("H", "O")}


def _key(counts: Counts) -> tuple[tuple[str, Fraction], ...]:
    """The proportions of the elements, whatever the size of the formula."""
    first = counts[min(counts)] if counts else Fraction(1)
    return tuple((symbol, counts[symbol] / first) for symbol in sorted(counts))


def _times(counts: Counts, own: Counts) -> Fraction:
    symbol = min(_dry(own) or own)
    return counts[symbol] / own[symbol]


def _water(counts: Counts, own: Counts) -> Fraction | None:
    """Moles of water that the typed formula holds beyond the row's, or None where they differ by something else."""
    times = _times(counts, own)
    hydrogen = counts.get("H", Fraction(0)) - times * own.get("H", Fraction(0))
    oxygen = counts.get("O", Fraction(0)) - times * own.get("O", Fraction(0))
    return oxygen if hydrogen == 2 * oxygen else None


def _known(row: Reagent, formula: Formula) -> tuple[dict[str, float], list[Step]] | None:
    """What the row says that a mole of this formula leaves, and its steps; None where the row does not know."""
    own = parse(row.formula).counts
    times = _times(formula.counts, own)
    if not row.residue_formula and row.residue_per_formula != 0:
        return None
    per = Fraction(row.residue_per_formula or 0).limit_denominator(FINEST)
    residue = {symbol: count * per for symbol, count in parse(row.residue_formula).counts.items()} if per else {}
    stays = {symbol for symbol in own if symbol not in VOLATILE}
    if any(residue.get(symbol, Fraction(0)) != own[symbol] for symbol in stays):
        return None
    steps = [
        Step(each.gas, float(times * Fraction(each.mol_per_formula).limit_denominator(FINEST)), each.from_c, each.to_c)
        for each in row.gas_steps
    ]
    return {symbol: float(count * times) for symbol, count in residue.items()}, steps
