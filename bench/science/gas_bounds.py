"""The most of each gas that a substance can give off, by the atoms that it holds, and what that needs beside it.

A bound is stoichiometry: all of an element leaves in one form. What leaves in fact is less, except for rows called
expected. An alternative stands in place of other gases of the same element and is never added to them; a fume is all
of a metal or salt as smoke, far more than in practice.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from bench.science.formulas import Formula, group_count, parse

EXPECTED: Final = "expected"
UPPER: Final = "upper bound"
ALTERNATIVE: Final = "alternative"
FUME: Final = "fume"
NONE: Final = "none"
KINDS: Final = (EXPECTED, UPPER, ALTERNATIVE, FUME, NONE)

GROUPS: Final[Mapping[str, tuple[tuple[tuple[str, int], ...], ...]]] = {
    "NH4": ((("N", 1), ("H", 4)),),
    "NO3": ((("N", 1), ("O", 3)),),
    "NO2": ((("N", 1), ("O", 2)),),
    "CO3": ((("C", 1), ("O", 3)),),
    "C2O4": ((("C", 2), ("O", 4)),),
    "CN": ((("C", 1), ("N", 1)),),
    "CH3COO": ((("C", 1), ("H", 3), ("C", 1), ("O", 1), ("O", 1)), (("C", 2), ("H", 3), ("O", 2))),
}
"""Groups by the runs of atoms in which they may be written."""
ORGANIC_C: Final = "organic C"
"""Carbon that is not in a carbonate, an oxalate or a cyanide: it burns, and short of air it burns to CO."""

CHARCOAL: Final = "charcoal"
SILICA: Final = "silica"
HOT_OXIDE: Final = "hot oxide"
AROUND: Final = (CHARCOAL, SILICA, HOT_OXIDE)
BURNS_AMMONIA: Final = frozenset(["Co", "Mn", "Cu", "V", "Cr"])
NEEDS: Final[Mapping[str, tuple[frozenset[str], ...]]] = {
    "carbon": (frozenset([CHARCOAL]),),
    "cooling in CO": (frozenset([CHARCOAL]),),
    "silica": (frozenset([SILICA]),),
    "steam and silica": (frozenset([SILICA]),),
    "silica or carbon": (frozenset([SILICA]), frozenset([CHARCOAL])),
    "carbon and silica": (frozenset([CHARCOAL, SILICA]),),
    "hot oxide and air": (frozenset([HOT_OXIDE]),),
    "acid": (),
}
"""What a context needs in the same load, each way by itself; a context that is not here is met in any fire."""


@dataclass(frozen=True, kw_only=True)
class GasRule:
    """One gas for each of an element or group that a substance holds.

    `salt` narrows it to a salt whatever its water and oxygen (`=CuO`: to just that), `also` to what holds all of these
    elements, `never` to what holds none of these (`Al+Si`: not both). `window_of` names the gas in whose window it
    comes; `!` keeps its own.
    """

    holds: str
    gas: str
    form: str
    mol: float
    kind: str
    context: str
    counts_once_in: str
    salt: str = ""
    also: tuple[str, ...] = ()
    never: tuple[str, ...] = ()
    from_c: float | None = None
    to_c: float | None = None
    window_of: str = ""
    basis: str = "memory"
    note: str = ""

    @property
    def name(self) -> str:
        """The gas with its form where that is vapour or fume."""
        return self.gas if self.form == "gas" else f"{self.gas} {self.form}"

    def fits(self, formula: Formula) -> bool:
        """Whether the rule speaks of this substance."""
        held = set(formula.counts)
        if self.salt and not self._is_salt(formula):
            return False
        if not held.issuperset(self.also):
            return False
        return not any(held.issuperset(each.split("+")) for each in self.never)

    def _is_salt(self, formula: Formula) -> bool:
        if self.salt.startswith("="):
            return proportions(parse(self.salt[1:])) == proportions(formula)
        return skeleton(self.salt) == skeleton_of(formula)


@dataclass(frozen=True)
class Bound:
    """The most of a gas that one mole of a substance gives, by a rule."""

    rule: GasRule
    mol: float

    @property
    def g(self) -> float:
        return self.mol * gas_g_mol(self.rule.gas)


@lru_cache(maxsize=256)
def gas_g_mol(gas: str) -> float:
    """Grams per mole of a gas or fume by its formula."""
    return parse(gas).molar_mass_g_mol


@lru_cache(maxsize=512)
def skeleton(salt: str) -> tuple[tuple[str, float], ...]:
    """The proportions of a salt's elements without hydrogen and oxygen."""
    return skeleton_of(parse(salt))


def skeleton_of(formula: Formula) -> tuple[tuple[str, float], ...]:
    """The proportions of a formula's elements without hydrogen and oxygen."""
    return proportions(formula, without=("H", "O"))


def proportions(formula: Formula, without: tuple[str, ...] = ()) -> tuple[tuple[str, float], ...]:
    """The proportions of a formula's elements, whatever its size."""
    counts = {symbol: count for symbol, count in formula.counts.items() if symbol not in without}
    if not counts:
        return ()
    first = counts[min(counts)]
    return tuple((symbol, round(float(counts[symbol] / first), 6)) for symbol in sorted(counts))


def held(formula: Formula, part: str) -> float:
    """How many of an element or a group one formula unit holds."""
    if part == ORGANIC_C:
        bound = held(formula, "CO3") + 2 * held(formula, "C2O4") + held(formula, "CN")
        return max(formula.numbers.get("C", 0.0) - bound, 0.0)
    if part in GROUPS:
        ways = [each for each in GROUPS[part] if all(symbol in formula.counts for symbol, _ in each)]
        return sum(group_count(formula, *each) for each in ways)
    return formula.numbers.get(part, 0.0)


def bounds(formula: Formula, rules: Iterable[GasRule]) -> tuple[Bound, ...]:
    """The bounds of one mole: for each part, gas and, of carbon monoxide, context, the first rule that fits."""
    found: dict[tuple[str, ...], Bound] = {}
    counts: dict[str, float] = {}
    for rule in rules:
        if rule.holds not in counts:
            counts[rule.holds] = held(formula, rule.holds)
        key = (rule.holds, rule.gas, rule.form, rule.context if rule.holds == "C2O4" else "")
        if counts[rule.holds] > 1e-9 and key not in found and rule.fits(formula):
            found[key] = Bound(rule, counts[rule.holds] * rule.mol)
    return tuple(each for each in found.values() if each.rule.kind != NONE)


def around(formulas: Iterable[Formula]) -> frozenset[str]:
    """What lies in the same load that a gas may need: charcoal or what chars, silica, an oxide that burns ammonia."""
    found: set[str] = set()
    for each in formulas:
        if held(each, ORGANIC_C) > 1e-9:
            found.add(CHARCOAL)
        if {"Si", "O"} <= set(each.counts):
            found.add(SILICA)
        if BURNS_AMMONIA & set(each.counts):
            found.add(HOT_OXIDE)
    return frozenset(found)


def met(context: str, there: frozenset[str]) -> bool:
    """Whether a context is met by what is there; heat, air, steam and too little air are in every fire."""
    ways = NEEDS.get(context)
    return True if ways is None else any(way <= there for way in ways)
