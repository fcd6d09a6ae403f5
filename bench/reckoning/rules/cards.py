"""The hazard cards of the parts: which card speaks for a part, and what is assumed where none does."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from itertools import chain

from bench.reckoning.rules.composition import composition
from bench.reckoning.rules.groups import dry_counts
from bench.reckoning.rules.substances import Facts, Part, facts_of
from bench.reference.cautions import HazardCard, Rule
from bench.reference.library import Library
from bench.reference.names import plain
from bench.reference.things import Reagent, Target
from bench.science.formulas import atoms_of, parsed

COMMON = frozenset({"H", "C", "N", "O", "Na", "K", "S", "Cl", "P"})
"""Elements that say nothing on their own about how harmful a compound is; the others are asked for on the cards."""

DRY_ONLY = "water-reactive"
"""The group of cards whose matter reacts with water: a hydrate of the same salt is other matter."""
NAME_BREAK = re.compile(r"[(),;:]")

Counts = frozenset[tuple[str, object]]


@dataclass(frozen=True)
class Known:
    """A library turned round, so that a formula or a name finds its reagents and its cards."""

    library: Library

    @cached_property
    def reagents_by_counts(self) -> Mapping[Counts, tuple[Reagent, ...]]:
        """The reagents of each composition; SiO2 is several jars."""
        found: dict[Counts, tuple[Reagent, ...]] = {}
        for each in self.library.reagents.values():
            key = counts_of(each.formula)
            if key:
                found[key] = (*found.get(key, ()), each)
        return found

    @cached_property
    def cards_by_counts(self) -> Mapping[Counts, tuple[HazardCard, ...]]:
        """The cards of each composition: by the reagents and targets that point at them, and by their own
        formulas."""
        return _grouped((counts_of(formula), card) for formula, card in chain(self._pointing(), self._own_formulas()))

    @cached_property
    def cards_by_dry_counts(self) -> Mapping[Counts, tuple[HazardCard, ...]]:
        """The same without water of crystallisation: a hydrate's card speaks for the dry salt and for other
        hydrates. What reacts with water has no hydrate: its card speaks for the dry matter alone."""
        return _grouped(
            (_without_water(formula), card)
            for formula, card in chain(self._pointing(), self._own_formulas())
            if DRY_ONLY not in card.groups.split()
        )

    @cached_property
    def cards_by_element(self) -> Mapping[str, tuple[HazardCard, ...]]:
        """The cards that speak for every substance of an element."""
        found: dict[str, tuple[HazardCard, ...]] = {}
        for card in self.library.hazards.values():
            for symbol in card.elements:
                found[symbol] = (*found.get(symbol, ()), card)
        return found

    def _pointing(self) -> Iterable[tuple[str, HazardCard]]:
        things: list[Reagent | Target] = [*self.library.reagents.values(), *self.library.targets.values()]
        for each in things:
            card = self.library.hazards.get(each.hazard_id)
            if card is not None:
                yield each.formula, card

    def _own_formulas(self) -> Iterable[tuple[str, HazardCard]]:
        for card in self.library.hazards.values():
            for formula in card.formulas:
                yield formula, card

    @cached_property
    def cards_by_name(self) -> Mapping[str, HazardCard]:
        """Cards by their plain slug and name, and by each part of a name that stands apart, as in `Propan-2-ol
        (isopropanol)`."""
        found: dict[str, HazardCard] = {}
        for card in self.library.hazards.values():
            for text in (card.slug, card.name, *NAME_BREAK.split(card.name)):
                found.setdefault(plain(text), card)
        found.pop("", None)
        return found

    @cached_property
    def symbols(self) -> frozenset[str]:
        """Every element that a reagent, a target or a card of the library knows."""
        formulas = chain(
            (each.formula for each in self.library.reagents.values()),
            (each.formula for each in self.library.targets.values()),
            chain.from_iterable(card.formulas for card in self.library.hazards.values()),
        )
        read = (composition(formula) for formula in formulas)
        return frozenset(chain.from_iterable(each.symbols for each in read if each))

    @cached_property
    def characteristic(self) -> tuple[tuple[frozenset[str], HazardCard], ...]:
        """Each card with the elements that make its substances what they are, without counter-ions and without
        refused cards."""
        found = []
        for card in self.library.hazards.values():
            for formula in card.formulas:
                read = composition(formula)
                if read is not None and card.flag != "refuse":
                    found.append((read.symbols - COMMON, card))
        return tuple(found)

    @cached_property
    def refusing(self) -> tuple[Rule, ...]:
        """The rules that refuse a plan."""
        rules = self.library.rules.values()
        return tuple(rule for rule in rules if rule.effect == "refuse" and "plan" in rule.steps)

    def formula(self, part: Part) -> str | None:
        """The formula of a part: as typed, else of what it points at, else its name where that is a formula."""
        if part.formula:
            return part.formula
        thing = self._named(part)
        if thing is not None:
            return thing.formula
        name = part.name.strip()
        return name if name and composition(name) is not None else None

    def _named(self, part: Part) -> Reagent | Target | None:
        slug = part.slug or ""
        return self.library.targets.get(slug) or self.library.reagents.get(slug) or self.library.reagent(part.name)

    def label(self, part: Part) -> str:
        """The part as a maker would call it: by the library's name where all that was handed in is a slug."""
        row = self._named(part) if part.slug and part.name == part.slug else None
        if row is None:
            return part.label
        return replace(part, name=row.name[:1].upper() + row.name[1:], formula=part.formula or row.formula).label

    def facts(self, part: Part) -> Facts:
        """The facts of a part, with the library's formula where none was typed."""
        return facts_of(self.formula(part), part.name, part.role)

    def reagents(self, part: Part) -> tuple[Reagent, ...]:
        """The reagents that a part may be: the one its slug names, else all of its composition, else the one of its
        name."""
        own = self.library.reagents.get(part.slug or "")
        if own is not None:
            return (own,)
        if part.slug in self.library.targets:
            return ()
        named = None if part.formula else self.library.reagent(part.name)
        if named is not None:
            return (named,)
        formula = self.formula(part)
        return self.reagents_by_counts.get(counts_of(formula), ()) if formula else ()

    def cards(self, part: Part) -> tuple[HazardCard, ...]:
        """The cards that may speak for a part; none means: read the SDS, and assume the worst of its elements."""
        of_elements = chain.from_iterable(self.cards_by_element.get(s, ()) for s in sorted(self.facts(part).symbols))
        return tuple({card.slug: card for card in (*self._cards_of_matter(part), *of_elements)}.values())

    def _cards_of_matter(self, part: Part) -> tuple[HazardCard, ...]:
        thing = self.library.reagents.get(part.slug or "") or self.library.targets.get(part.slug or "")
        if thing is None:
            return self._cards_by_formula(part.formula) if part.formula else self._cards_by_name(part)
        card = self.library.hazards.get(thing.hazard_id)
        pointed = (card,) if card else self._written_by_the_maker(thing.formula)
        if not part.formula or _without_water(part.formula) == _without_water(thing.formula):
            return pointed
        others = self._cards_by_formula(part.formula)  # the jar holds something else than its slug says
        return (*pointed, *(other for other in others if other not in pointed))

    def _written_by_the_maker(self, formula: str) -> tuple[HazardCard, ...]:
        """The maker's own cards for a formula that no row points at."""
        return tuple(card for card in self._cards_by_formula(formula) if card.own)

    def _cards_by_formula(self, formula: str) -> tuple[HazardCard, ...]:
        exact, dry = self.cards_by_counts.get(counts_of(formula), ()), _without_water(formula)
        if exact and all(DRY_ONLY in card.groups.split() for card in exact):
            return (*exact, *self.cards_by_dry_counts.get(dry, ()))  # which of the two it is, a dry formula may not say
        return exact or self.cards_by_dry_counts.get(dry, ())

    def _cards_by_name(self, part: Part) -> tuple[HazardCard, ...]:
        card = self.library.card_for(part.name) or self.cards_by_name.get(plain(part.name))
        formula = self.formula(part)
        if card is None and formula:
            return self._cards_by_formula(formula)
        if card is None and self.facts(part).symbols == frozenset({"Si", "O"}):
            card = self.library.card_for("quartz-silica")  # sand
        return (card,) if card else ()

    def assumed(self, part: Part) -> tuple[HazardCard, ...]:
        """The cards of the elements of a part that has no card of its own: the worst of them is assumed."""
        symbols = self.facts(part).symbols - COMMON
        return tuple({card.slug: card for own, card in self.characteristic if own and own <= symbols}.values())


@lru_cache(maxsize=4096)
def counts_of(formula: str) -> Counts:
    """The composition of a formula as a key; empty where it cannot be read."""
    return frozenset(atoms_of(formula).items())


@lru_cache(maxsize=4096)
def _without_water(text: str) -> Counts:
    """The composition without water of crystallisation; empty where nothing is left or it cannot be read."""
    formula = parsed(text)
    return frozenset(dry_counts(formula).items()) if formula is not None else frozenset()


def _grouped(pairs: Iterable[tuple[Counts, HazardCard]]) -> dict[Counts, tuple[HazardCard, ...]]:
    found: dict[Counts, dict[str, HazardCard]] = {}
    for key, card in pairs:
        if key:
            found.setdefault(key, {})[card.slug] = card
    return {key: tuple(cards.values()) for key, cards in found.items()}


MOST_KEPT = 4
_recent: list[Known] = []


def known(library: Library) -> Known:
    """The library turned round; kept for the few libraries used last (the maker's own rows make a new one now and
    then)."""
    for each in _recent:
        if each.library is library:
            return each
    made = Known(library)
    _recent.insert(0, made)
    del _recent[MOST_KEPT:]
    return made
