"""Answers one comparison of a pattern by looking at the parts and conditions of a scene."""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from bench.reckoning.rules.cards import counts_of
from bench.reckoning.rules.composition import MARKS
from bench.reckoning.rules.conditions import CONDITIONS, NONE, UNKNOWN, is_one_of, number
from bench.reckoning.rules.grammar import NO, Answer, Atom, Compares, Is, compare, matches
from bench.reckoning.rules.scene import IN_THE_CHARGE, Scene, Seen
from bench.translation import _

BULKY = ("borate_hydrate", "alum", "ammonium_phosphate")
PART_KEYS = frozenset(
    {*MARKS, "flammable_liquid", "glass_forming", "scope", "elements", "elements_any", "anions", "lines", "h_codes"}
) | {
    "card_flag",
    "hazard_id",
    "formula_parsed",
    "elements_outside_library",
}
"""Keys that are answered from the parts; every other key is a condition."""
SAID = {"true": _("yes"), "false": _("no")}
SLUG = re.compile(r"[a-z0-9]+(-[a-z0-9]+)+")
CARDLESS_ROLES = ("paper",)
COUNTED = ("ticks_missing",)


@dataclass(frozen=True)
class Asking:
    """Asks one scene. It can be narrowed to one part for rules where one line is enough."""

    scene: Scene
    seen: tuple[Seen, ...]

    def __call__(self, atom: Atom) -> Answer:
        """The answer to one comparison."""
        if atom.key == "scope":
            return Answer(True)
        if isinstance(atom, Compares):
            return self._compared(atom)
        answer = self._parts(atom) if atom.key in PART_KEYS else self._condition(atom)
        if not atom.negated or answer.holds is None:
            return answer
        return Answer(not answer.holds, answer.because or self._words(atom.key))

    def _condition(self, atom: Is) -> Answer:
        if atom.key == "cooling" and "in_reducing_gas" in atom.values:
            return self._told("cooling_in_reducing_gas", ("true",))
        if atom.key != "acid":
            return self._told(atom.key, atom.values)
        if atom.values == ("true",):
            return self._any_acid()
        return self._strong_acid() if "hot_or_strong" in atom.values else self._told("acid", atom.values)

    def _any_acid(self) -> Answer:
        without = is_one_of(self.scene.value("acid"), (NONE, "false"))
        return Answer(None if without is None else not without, self._words("acid"))

    def _told(self, key: str, values: tuple[str, ...]) -> Answer:
        return Answer(is_one_of(self.scene.value(key), values), self._words(key))

    def _strong_acid(self) -> Answer:
        acid = self._told("acid", ("hot_or_strong",))
        if acid.holds or self._any_acid().holds is False:
            return acid
        return self._told("acid_hot_or_strong", ("true",))

    def _compared(self, atom: Compares) -> Answer:
        left = number(self.scene.value(atom.key), count=atom.key in COUNTED)
        right: float | bool | None = atom.factor
        because = self._words(atom.key)
        if atom.other is not None:
            other = number(self.scene.value(atom.other))
            because += self._words(atom.other)
            right = other * atom.factor if isinstance(other, float) else other
        if left is False or right is False:
            return NO  # there is no such thing, so it cannot stand in any relation
        if left is None or right is None:
            return Answer(None, because)
        return Answer(compare(atom.op, left, right), because)

    def _words(self, key: str) -> tuple[str, ...]:
        """A condition as the reason that a maker reads."""
        if key == "step":
            return ()
        value = self.scene.value(key)
        name = CONDITIONS[key].words if key in CONDITIONS else key
        if value is None or value == (UNKNOWN,):
            return (_("{name}: not known", name=name),)
        told = f"{value:g}" if isinstance(value, float) else ", ".join(map(said, value))
        return (f"{name}: {told}",)

    def _parts(self, atom: Is) -> Answer:
        if atom.key in BULKY:
            return _of(self.scene.bulky(atom.key))
        if atom.key == "glass_forming":
            return _of(self.scene.glassy())
        if atom.key in MARKS or atom.key == "flammable_liquid":
            return _of(each for each in self.seen if atom.key in each.facts.marks)
        if atom.key == "h_codes":
            return self._h_codes(atom.values)
        test = TESTS[atom.key]
        return _of(each for each in self.seen if test(self.scene, each, atom.values))

    def _h_codes(self, values: tuple[str, ...]) -> Answer:
        """Codes of the cards; where a part has none, those of its elements are assumed, and where these are missing
        too it is open."""
        sure, open_ones = [], []
        for each in self.seen:
            codes = _codes(self.scene, each)
            if codes is None:
                open_ones.append(each)
            elif any(matches(value, code) for value in values for code in codes):
                sure.append(each)
        return _of(sure) if sure or not open_ones else Answer(None, _labels(open_ones))


def said(word: str) -> str:
    """A word of a condition as a maker reads it: yes for true, and no hyphens between the words of a slug."""
    return str(SAID.get(word, "")) or (word.replace("-", " ") if SLUG.fullmatch(word) else word)


def _of(seen: Iterable[Seen]) -> Answer:
    labels = _labels(seen)
    return Answer(True, labels) if labels else NO


def _labels(seen: Iterable[Seen]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(each.label for each in seen))


def _codes(scene: Scene, seen: Seen) -> list[str] | None:
    """The H codes that count for a part, combined codes taken apart; None where nothing at all is known."""
    if harmless(seen):
        return []
    cards = scene.known.cards(seen.part) or scene.known.assumed(seen.part)
    if not cards:
        return None
    return [code for card in cards for joined in card.h_codes for code in joined.split("+")]


def harmless(seen: Seen) -> bool:
    """Water needs no card, and paper has none."""
    return "water" in seen.facts.marks or seen.part.role in CARDLESS_ROLES


def _has_symbol(scene: Scene, seen: Seen, values: tuple[str, ...]) -> bool:
    return not seen.facts.symbols.isdisjoint(values)


def _is_line(scene: Scene, seen: Seen, values: tuple[str, ...]) -> bool:
    return seen.part.role in IN_THE_CHARGE and any(_is_this(scene, seen, value) for value in values)


def _is_this(scene: Scene, seen: Seen, value: str) -> bool:
    """Whether a line is the reagent of this slug, the substance of this formula, or bears this mark (charcoal,
    sulfur, rosin)."""
    if seen.part.slug == value or value in seen.facts.marks:
        return True
    reagents = scene.known.reagents(seen.part)
    if any(each.slug == value for each in reagents):
        return True
    formula, counts = scene.known.formula(seen.part), counts_of(value)
    return bool(formula and counts) and counts_of(formula or "") == counts


def _has_flag(scene: Scene, seen: Seen, values: tuple[str, ...]) -> bool:
    return any(card.flag in values for card in scene.known.cards(seen.part))


def _has_no_card(scene: Scene, seen: Seen, values: tuple[str, ...]) -> bool:
    return not harmless(seen) and not scene.known.cards(seen.part)


def _outside(scene: Scene, seen: Seen, values: tuple[str, ...]) -> bool:
    return not seen.facts.symbols <= scene.known.symbols


TESTS: Mapping[str, Callable[[Scene, Seen, tuple[str, ...]], bool]] = {
    "elements": _has_symbol,
    "elements_any": _has_symbol,
    "anions": lambda scene, seen, values: not seen.facts.anions.isdisjoint(values),
    "lines": _is_line,
    "card_flag": _has_flag,
    "hazard_id": _has_no_card,
    "formula_parsed": lambda scene, seen, values: not seen.facts.read,
    "elements_outside_library": _outside,
}
"""How each key about parts is answered for one part. The patterns ask `hazard_id=none` and `formula_parsed=false`
only."""
