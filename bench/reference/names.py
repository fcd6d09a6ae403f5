"""Plain names: what a typed text is compared with."""

from collections.abc import Mapping

from bench.reference.things import Reagent, Target


def plain(text: str) -> str:
    """A name or slug without case, spaces and punctuation: `Cobalt (II) oxide` and `cobalt-ii-oxide` are one."""
    return "".join(each for each in text.casefold() if each.isalnum())


def reagent_names(reagents: Mapping[str, Reagent]) -> dict[str, str]:
    """Every plain name, synonym and formula of the reagents, each pointing at a slug; the first in the list wins."""
    names: dict[str, str] = {}
    for slug, each in reagents.items():
        for text in (slug, each.name, each.formula, *each.synonyms):
            names.setdefault(plain(text), slug)
    names.pop("", None)
    return names


def target_names(targets: Mapping[str, Target]) -> dict[str, str]:
    """Every plain name and formula of the targets, each pointing at a slug; the first in the list wins."""
    names: dict[str, str] = {}
    for slug, each in targets.items():
        for text in (slug, each.name, each.formula, *each.other_names, each.colour_index_name):
            names.setdefault(plain(text), slug)
    names.pop("", None)
    return names
