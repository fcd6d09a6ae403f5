"""One step with its parts and conditions, as the rules see it: what was handed in, and what follows from it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from bench.reckoning.rules.cards import Known
from bench.reckoning.rules.conditions import CONDITIONS, NONE, UNKNOWN, Value, normal
from bench.reckoning.rules.substances import Facts, Part
from bench.reference.things import Target

SHARE = 0.1
"""Part of the charge by mass above which a swelling substance counts (project default)."""
GLASS_SHARE = 0.05
"""Alkali oxide as a part of the charge by mass above which a glass former may melt to a glass (project default)."""
UNDER_COVER = ("line", "packing", "binder", "paper", "neighbour")
"""Roles in which something that burns makes the gas round the charge reducing."""
IN_THE_CHARGE = ("line", "binder")


@dataclass(frozen=True)
class Seen:
    """A part with its facts, and what a maker calls it."""

    part: Part
    facts: Facts
    label: str = ""


@dataclass(frozen=True)
class Scene:
    """A step, its parts, its conditions and the library they are judged by.

    `follows` holds, for conditions that nobody handed in, how they follow from the rest.
    """

    step: str
    seen: tuple[Seen, ...]
    conditions: Mapping[str, object]
    known: Known
    follows: Mapping[str, "Callable[[Scene], object]"] = field(default_factory=dict)

    def value(self, name: str) -> Value:
        """A condition in normal form: as handed in, else as it follows from the rest, else what its absence means."""
        if name == "step":
            return (self.step,)
        value = self._told_or_following(name)
        if name == "cooling" and value is None:
            # what is not planned stays in; only where the step itself is the quench does it mean water
            return ("quench-water",) if self.step == "quench" else (UNKNOWN,)
        return value

    def _told_or_following(self, name: str) -> Value:
        if name in self.conditions:
            return self._told(name, normal(self.conditions[name]))
        follow = self.follows.get(name)
        if follow is not None:
            return normal(follow(self))
        return normal(CONDITIONS[name].unless_told)

    def _told(self, name: str, value: Value) -> Value:
        """A told condition as the rules take it: no liquid is no solvent; fuel under cover reduces in any flame."""
        if name == "paste_solvent" and value == (NONE,):
            return ("water",)
        if name == "reducing" and self.any_mark("fuel_material", *UNDER_COVER):
            return ("true",)
        return value

    @cached_property
    def symbols(self) -> frozenset[str]:
        """Every element in the parts."""
        return frozenset(symbol for each in self.seen for symbol in each.facts.symbols)

    def any_mark(self, mark: str, *roles: str) -> bool:
        """Whether a part (of these roles, or of any) bears a mark."""
        return any(mark in each.facts.marks for each in self.seen if not roles or each.part.role in roles)

    def of_role(self, *roles: str) -> tuple[Seen, ...]:
        """The parts with one of these roles."""
        return tuple(each for each in self.seen if each.part.role in roles)

    @cached_property
    def charge_g(self) -> float | None:
        """Grams of all lines and binders, or None where one is not known."""
        grams = [each.part.g for each in self.of_role(*IN_THE_CHARGE)]
        return None if any(g is None for g in grams) else sum(g for g in grams if g is not None)

    def bulky(self, mark: str) -> tuple[Seen, ...]:
        """The parts with this mark, where together they make more than a tenth of the charge; unknown grams count
        as more."""
        bearing = tuple(each for each in self.of_role(*IN_THE_CHARGE) if mark in each.facts.marks)
        if not self.charge_g:
            return bearing
        return bearing if sum(each.part.g or 0.0 for each in bearing) > SHARE * self.charge_g else ()

    def glassy(self) -> tuple[Seen, ...]:
        """The lines that may melt to a glass together: an oxide of B, P or Si with enough alkali or lead."""
        lines = self.of_role(*IN_THE_CHARGE)
        formers = tuple(each for each in lines if "glass_former" in each.facts.marks)
        fluxes = tuple(each for each in lines if each.facts.composition and each.facts.composition.alkali_oxide_g_mol)
        if not formers or not fluxes:
            return ()
        if self.charge_g and sum(_alkali_g(each) for each in fluxes) <= GLASS_SHARE * self.charge_g:
            return ()
        return tuple(dict.fromkeys((*formers, *fluxes)))

    @property
    def target(self) -> Target | None:
        """The target among the parts, where the library knows it."""
        rows = (self.known.library.targets.get(each.part.slug or "") for each in self.of_role("target"))
        return next((row for row in rows if row is not None), None)


def _alkali_g(seen: Seen) -> float:
    read = seen.facts.composition
    return (seen.part.g or 0.0) * read.alkali_oxide_g_mol / read.molar_mass_g_mol if read else 0.0
