"""Targets by the family of their colour, as their own words name it."""

import re
from collections.abc import Iterable

from bench.reference.things import Target
from bench.web.words import _

FAMILIES = {
    _("Blue"): "blue teal turquoise cyan",
    _("Green"): "green olive",
    _("Violet, purple and magenta"): "violet purple magenta lilac",
    _("Pink and red"): "pink rose red maroon",
    _("Orange and yellow"): "orange yellow ochre coral salmon",
    _("Brown and buff"): "brown tan buff",
    _("Black, grey and white"): "black grey white",
}
OTHER = _("Other colours")
FAMILY_OF = {word: family for family, words in FAMILIES.items() for word in words.split()}


def family(colour_words: str) -> str:
    """The family of a colour: of what is said first its last colour word, as in *greenish sky blue*."""
    for said in re.split(r"[;,(]", colour_words.lower()):
        found = [FAMILY_OF[word] for word in re.findall(r"[a-z]+", said) if word in FAMILY_OF]
        if found:
            return found[-1]
    return OTHER


def families(targets: Iterable[Target]) -> dict[str, list[Target]]:
    """The targets of each family that has any, by name; of those that no family takes, the last."""
    found: dict[str, list[Target]] = {name: [] for name in (*FAMILIES, OTHER)}
    for target in sorted(targets, key=lambda each: each.name):
        found[family(target.colour_words)].append(target)
    return {name: each for name, each in found.items() if each}
