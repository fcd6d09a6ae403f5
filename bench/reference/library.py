"""The Library: everything known from outside, held in memory, with the look-ups that steps and screens need."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property

from bench.reference.cautions import (
    ASK,
    Advice,
    ChecklistItem,
    EarlierItem,
    HazardCard,
    Rule,
    RuleTerm,
    Statement,
    StatementVariant,
)
from bench.reference.hydrate_pairs import HydratePair
from bench.reference.names import plain
from bench.reference.provenance import Source
from bench.reference.surroundings import AIR_O2_PCT, Gas, OxideInAir, Ware
from bench.reference.things import Reagent, Target
from bench.science.formulas import parsed
from bench.science.gas_bounds import GasRule

Composition = frozenset[tuple[str, Fraction]]


def composition(formula: str) -> Composition | None:
    """What a formula is made of, whatever the order in which it is written; None for a text that is no formula."""
    found = parsed(formula)
    return frozenset(found.counts.items()) if found is not None else None


def by_composition(things: Mapping[str, Reagent] | Mapping[str, Target]) -> dict[Composition | None, str]:
    """The slug of the first thing of each composition."""
    found: dict[Composition | None, str] = {}
    for slug, each in things.items():
        found.setdefault(composition(each.formula), slug)
    found.pop(None, None)
    return found


@dataclass(frozen=True, kw_only=True)
class Library:
    """All reference data.

    Dictionaries are keyed by slug (gases by formula, statements by code, sources by key, terms by term).
    `colour_names` gives the sRGB of the centroid of each published colour name.

    `revision` is a short hash over the files and the maker's own rows. `troubles` says in plain words which of the
    maker's own rows could not be laid over the files.
    """

    targets: Mapping[str, Target]
    reagents: Mapping[str, Reagent]
    hazards: Mapping[str, HazardCard]
    gases: Mapping[str, Gas]
    gas_rules: tuple[GasRule, ...]
    ware: Mapping[str, Ware]
    oxides_in_air: tuple[OxideInAir, ...]
    hydrate_pairs: tuple[HydratePair, ...]
    rules: Mapping[str, Rule]
    rule_terms: Mapping[str, RuleTerm]
    checklists: tuple[ChecklistItem, ...]
    earlier_items: tuple[EarlierItem, ...]
    advice: Mapping[str, Advice]
    statements: Mapping[str, Statement]
    sources: Mapping[str, Source]
    colour_names: Mapping[str, str]
    revision: str
    troubles: tuple[str, ...] = ()
    statement_variants: tuple[StatementVariant, ...] = ()
    reagent_names: Mapping[str, str] = field(default_factory=dict, repr=False)
    target_names: Mapping[str, str] = field(default_factory=dict, repr=False)

    @property
    def mark(self) -> tuple[str, int]:
        """For what is kept of its rows: another one for other rows, also where one is made in the place of another."""
        return self.revision, id(self)

    def reagent(self, text: str) -> Reagent | None:
        """The reagent of this slug, name, synonym or formula, or None.

        A formula is compared by its composition; one that two jars share gives the first in the list.
        """
        slug = self.reagent_names.get(plain(text)) or self._reagents_by_counts.get(composition(text))
        return self.reagents.get(text) or self.reagents.get(slug or "")

    def target(self, text: str) -> Target | None:
        """The target of this slug, name or formula, or None, in the same way as a reagent."""
        slug = self.target_names.get(plain(text)) or self._targets_by_counts.get(composition(text))
        return self.targets.get(text) or self.targets.get(slug or "")

    @cached_property
    def titles(self) -> Mapping[str, str]:
        """The titles of the sources by their keys."""
        return {key: source.title for key, source in self.sources.items()}

    @cached_property
    def _reagents_by_counts(self) -> Mapping[Composition | None, str]:
        return by_composition(self.reagents)

    @cached_property
    def _targets_by_counts(self) -> Mapping[Composition | None, str]:
        return by_composition(self.targets)

    def pairs_of(self, formula: str) -> tuple[HydratePair, ...]:
        """The pairs of forms with different water that this formula is one of."""
        counts = composition(formula)
        if counts is None:
            return ()
        return tuple(each for each in self.hydrate_pairs if counts in map(composition, (each.lower, each.hydrate)))

    def may_hold_water(self, formula: str, slug: str = "") -> bool:
        """Whether jars of a formula may differ by water: by its hydrogen, its reagent’s forms, or a pair of it."""
        row, counts = self.reagents.get(slug), composition(formula)
        hydrogen = counts is None or any(symbol == "H" for symbol, _n in counts)
        return hydrogen or bool(row is not None and row.hydrates) or bool(self.pairs_of(formula))

    def card_for(self, thing: Reagent | Target | str) -> HazardCard | None:
        """The hazard card of a reagent or target (or of what a text names); None means: say `NO_CARD` and assume the
        worst of its elements.
        """
        if isinstance(thing, str):
            named = self.reagent(thing) or self.target(thing)
            return self.card_for(named) if named else self.hazards.get(thing)
        return self.hazards.get(thing.hazard_id)

    def phase_items(self, phase: str, fuel: str = "any") -> tuple[ChecklistItem, ...]:
        """The checklist items of a phase in order, of whatever kind: all that this fuel (`gas`, `electric`) may need.

        A fuel that is `any` or not known gives all of them.
        """
        known = {one: fuel == one for one in ("gas", "electric")} if fuel in ("gas", "electric") else {}
        return tuple(each for each in self.checklists if each.phase == phase and each.stands_as(known))

    def asked_items(self, phase: str, fuel: str = "any") -> tuple[ChecklistItem, ...]:
        """Those of them that are asked, whatever else is not known."""
        return tuple(each for each in self.phase_items(phase, fuel) if each.kind == ASK)

    @cached_property
    def items_by_slug(self) -> Mapping[str, ChecklistItem]:
        """Every item of the checklists by its name."""
        return {each.slug: each for each in self.checklists}

    def earlier_phase(self, phase: str, fuel: str = "any") -> tuple[EarlierItem, ...]:
        """The items of a phase as the lists were before, in order, for a fuel."""
        wanted = {"gas", "electric", "any"} if fuel not in ("gas", "electric") else {fuel, "any"}
        return tuple(each for each in self.earlier_items if each.phase == phase and each.fuel in wanted)

    @cached_property
    def earlier_by_words(self) -> Mapping[tuple[str, str], EarlierItem]:
        """The items of the lists as they were before, by list and words, as older records hold them."""
        return {(each.phase, each.item): each for each in self.earlier_items}

    def advice_for(self, step: str) -> tuple[Advice, ...]:
        """The advice for one step (plan, weigh, mix, dry, load, light, fire, cool, open, wash, grind, swatch, judge
        …).
        """
        return tuple(each for each in self.advice.values() if each.step == step)

    def oxide_in_air(self, element: str, at_c: float, o2_pct: float = AIR_O2_PCT) -> OxideInAir | None:
        """The oxide of `element` that stands at `at_c` where the gas holds `o2_pct` per cent of oxygen (air where
        nothing else is said), or None where the tables say nothing.
        """
        known = (each for each in self.oxides_in_air if each.element == element)
        return next((each for each in known if 0 <= at_c < each.ends_c(o2_pct)), None)
