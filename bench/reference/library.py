"""The Library: everything known from outside, held in memory, with the look-ups that steps and screens need."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from bench.reference.cautions import ChecklistItem, HazardCard, Rule, RuleTerm, Statement
from bench.reference.provenance import Source
from bench.reference.surroundings import Gas, OxideInAir, Ware
from bench.reference.things import Reagent, Target


def plain(text: str) -> str:
    """A name or slug without case, spaces and punctuation: `Cobalt (II) oxide` and `cobalt-ii-oxide` are one."""
    return "".join(each for each in text.casefold() if each.isalnum())


@dataclass(frozen=True, kw_only=True)
class Library:
    """All reference data.

    Dictionaries are keyed by slug (gases by formula, statements by code, sources by key, terms by term).

    `revision` is a short hash over the files and the maker's own rows. `troubles` says in plain words which of the
    maker's own rows could not be laid over the files.
    """

    targets: Mapping[str, Target]
    reagents: Mapping[str, Reagent]
    hazards: Mapping[str, HazardCard]
    gases: Mapping[str, Gas]
    ware: Mapping[str, Ware]
    oxides_in_air: tuple[OxideInAir, ...]
    rules: Mapping[str, Rule]
    rule_terms: Mapping[str, RuleTerm]
    checklists: tuple[ChecklistItem, ...]
    statements: Mapping[str, Statement]
    sources: Mapping[str, Source]
    revision: str
    troubles: tuple[str, ...] = ()
    _reagent_names: Mapping[str, str] = field(default_factory=dict, repr=False)
    _target_names: Mapping[str, str] = field(default_factory=dict, repr=False)

    def reagent(self, text: str) -> Reagent | None:
        """The reagent of this slug, name, synonym or formula, or None.

        A formula shared by two jars gives the first in the list.
        """
        return self.reagents.get(text) or self.reagents.get(self._reagent_names.get(plain(text), ""))

    def target(self, text: str) -> Target | None:
        """The target of this slug, name or formula, or None.

        A formula shared by two targets gives the first in the list.
        """
        return self.targets.get(text) or self.targets.get(self._target_names.get(plain(text), ""))

    def card_for(self, thing: Reagent | Target | str) -> HazardCard | None:
        """The hazard card of a reagent or target (or of what a text names); None means: say `NO_CARD` and assume the
        worst of its elements.
        """
        if isinstance(thing, str):
            named = self.reagent(thing) or self.target(thing)
            return self.card_for(named) if named else self.hazards.get(thing)
        return self.hazards.get(thing.hazard_id)

    def phase_items(self, phase: str, fuel: str = "any") -> tuple[ChecklistItem, ...]:
        """The checklist items of a phase in order: those for every furnace, and those of this fuel (`gas`, `electric`).

        A fuel that is `any` or not known gives all of them.
        """
        wanted = {"gas", "electric", "any"} if fuel not in ("gas", "electric") else {fuel, "any"}
        return tuple(each for each in self.checklists if each.phase == phase and each.fuel in wanted)

    def oxide_in_air(self, element: str, at_c: float) -> OxideInAir | None:
        """The oxide of `element` that stands in air at `at_c`, or None where the tables say nothing."""
        for each in self.oxides_in_air:
            if each.element == element and each.from_c <= at_c < each.to_c:
                return each
        return None
