"""Search over targets, reagents and hazard cards: by name, formula, Colour Index name or number, colour word;
spelling is forgiven.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from bench.reference.library import Composition, Library, composition
from bench.reference.names import plain
from bench.reference.spelling import close
from bench.reference.things import Reagent, Target

MOST_HITS = 30
MOST_LETTERS = 120
SAME = {
    "aluminum": "aluminium",
    "gray": "grey",
    "purple": "violet",
    "natrium": "sodium",
    "kalium": "potassium",
}
"""Words that are taken for one another, on both sides."""

CI_LETTERS = {
    "b": "blue",
    "bk": "black",
    "br": "brown",
    "g": "green",
    "o": "orange",
    "r": "red",
    "v": "violet",
    "w": "white",
    "y": "yellow",
}


@dataclass(frozen=True, kw_only=True)
class Hit:
    """One thing found. `kind` is target, reagent or card; `found_by` says by what; `score` is 1 to 100, best first."""

    kind: str
    slug: str
    name: str
    formula: str
    found_by: str
    score: float


@dataclass(frozen=True)
class Phrase:
    """One text by which a thing can be found: what it is, its worth (1 to 100), and its words."""

    found_by: str
    worth: float
    words: tuple[str, ...]


@dataclass(frozen=True)
class Entry:
    """One thing with all its phrases."""

    kind: str
    slug: str
    name: str
    formula: str
    phrases: tuple[Phrase, ...]
    hydrates: tuple[str, ...] = ()


def words_of(text: str) -> tuple[str, ...]:
    """The words of a text without case and punctuation, British and American spelling made one."""
    found = re.findall(r"[^\W_]+", text.casefold())
    return tuple(SAME.get(each, each).replace("sulph", "sulf").replace("color", "colour") for each in found)


def colour_index_words(text: str) -> tuple[str, ...] | None:
    """`PB28` or `P.Br. 24` as the words of its full Colour Index name; None for anything else."""
    short = re.fullmatch(r"(?:c\.?i\.?\s*)?p\.?\s*(bk|br|b|g|o|r|v|w|y)\.?[\s-]*(\d{1,3})", text.strip().casefold())
    return ("pigment", CI_LETTERS[short[1]], short[2]) if short else None


def phrases(*named: tuple[str, float, Iterable[str]]) -> tuple[Phrase, ...]:
    """Phrases from (what, worth, texts), empty texts left out."""
    return tuple(Phrase(by, worth, words_of(text)) for by, worth, texts in named for text in texts if text)


def target_entry(slug: str, each: Target) -> Entry:
    """A target with the texts by which it is found."""
    index = (each.ci_constitution_no, *each.colour_index_name.split(" / "))
    found = phrases(
        ("name", 100, (each.name, *each.other_names, slug)),
        ("Colour Index", 97, index),
        ("formula", 96, (plain(each.formula),)),
        ("structure", 50, (each.structure,)),
        ("colour", 70, (each.colour_words,)),
    )
    return Entry("target", slug, each.name, each.formula, found)


def reagent_entry(slug: str, each: Reagent) -> Entry:
    """A reagent with the texts by which it is found."""
    found = phrases(
        ("name", 100, (each.name, *each.synonyms, slug)),
        ("CAS number", 97, (each.cas,)),
        ("formula", 96, (plain(each.formula),)),
        ("colour", 55, (each.appearance,)),
    )
    return Entry("reagent", slug, each.name, each.formula, found, each.hydrates)


def entries(library: Library) -> Iterator[Entry]:
    """Everything that can be found."""
    for slug, target in library.targets.items():
        yield target_entry(slug, target)
    for slug, reagent in library.reagents.items():
        yield reagent_entry(slug, reagent)
    for slug, card in library.hazards.items():
        found = phrases(
            ("name", 90, (card.name,)), ("CAS number", 87, card.cas), ("formula", 86, map(plain, card.formulas))
        )
        yield Entry("card", slug, card.name, "; ".join(card.formulas), found)


def word_worth(word: str, phrase: Phrase, near: frozenset[str]) -> float:
    """How well one typed word fits a phrase: 1 the same, 0.85 its beginning, 0.6 a near spelling, 0 not at all."""
    if word in phrase.words:
        return 1.0
    if len(word) >= 3 and any(each.startswith(word) for each in phrase.words):
        return 0.85
    return 0.6 if not near.isdisjoint(phrase.words) else 0.0


def phrase_score(typed: tuple[str, ...], phrase: Phrase, near: dict[str, frozenset[str]]) -> float:
    """How well the typed words fit one phrase, 0 where one of them does not; the whole phrase beats a part of it."""
    each_worth = [word_worth(word, phrase, near[word]) for word in typed]
    if not each_worth or min(each_worth) == 0:
        return 0.0
    whole = 1.0 if len(typed) == len(phrase.words) else 0.9
    return phrase.worth * whole * sum(each_worth) / len(each_worth)


def entry_score(typed: tuple[str, ...], entry: Entry, near: dict[str, frozenset[str]]) -> tuple[float, str]:
    """The best score of an entry and by what it was found; words that fit different phrases count for less."""
    best = max(((phrase_score(typed, each, near), each.found_by) for each in entry.phrases), default=(0.0, ""))
    if best[0] > 0 or len(typed) < 2:
        return best
    parts = [max((phrase_score((word,), each, near), each.found_by) for each in entry.phrases) for word in typed]
    if min(part[0] for part in parts) == 0:
        return 0.0, ""
    return 0.8 * sum(part[0] for part in parts) / len(parts), parts[0][1]


def dry(counts: Composition | None) -> Composition | None:
    """A composition without its hydrogen and the oxygen that goes with it as water; None where nothing else is left."""
    if counts is None:
        return None
    atoms = dict(counts)
    water = atoms.pop("H", Fraction(0)) / 2
    atoms["O"] = atoms.get("O", Fraction(0)) - water
    if atoms["O"] < 0:
        return None
    if atoms["O"] == 0:
        atoms.pop("O")
    return frozenset(atoms.items()) if atoms else None


def formula_score(typed: Composition | None, entry: Entry) -> float:
    """How well a typed composition fits.

    99 for the same composition, 90 for the same but for water, 88 for a hydrate that may be in the jar, 40 for a
    single element that it holds, else 0.
    """
    if typed is None:
        return 0.0
    scores = [0.0] + [88.0 for hydrate in entry.hydrates if composition(hydrate) == typed]
    for text in entry.formula.split("; "):
        counts = composition(text)
        if counts is None:
            continue
        if counts == typed:
            scores.append(99.0)
        elif dry(counts) == typed:
            scores.append(90.0)
        elif len(typed) == 1 and dict(typed).keys() <= dict(counts).keys():
            scores.append(40.0)
    return max(scores)


def near_text(word: str, words: Iterable[str]) -> bool:
    """Whether a typed word stands among others: as it is, as a part of one, or a slip or two away."""
    among = set(words)
    return word in among or any(word in each for each in among if len(word) >= 3) or any(close(word, e) for e in among)


def near_words(typed: tuple[str, ...], listed: list[Entry]) -> dict[str, frozenset[str]]:
    """For each typed word that stands nowhere, the known words that are a slip or two away; nothing for the others."""
    known = {word for entry in listed for phrase in entry.phrases for word in phrase.words}
    near: dict[str, frozenset[str]] = {}
    for word in typed:
        stands = word in known or (len(word) >= 3 and any(each.startswith(word) for each in known))
        near[word] = frozenset() if stands else frozenset(each for each in known if close(word, each))
    return near


def search(library: Library, text: str) -> list[Hit]:
    """What fits the text, best first, at most 30 hits; an empty text finds nothing."""
    text = text[:MOST_LETTERS]
    typed = colour_index_words(text) or words_of(text)[:12]
    if not typed:
        return []
    listed = list(entries(library))
    near = near_words(typed, listed)
    formula = composition(text.strip())
    hits: list[Hit] = []
    for entry in listed:
        score, found_by = entry_score(typed, entry, near)
        by_formula = formula_score(formula, entry)
        if by_formula > score:
            score, found_by = by_formula, "formula"
        if score > 0:
            hits.append(
                Hit(
                    kind=entry.kind,
                    slug=entry.slug,
                    name=entry.name,
                    formula=entry.formula,
                    found_by=found_by,
                    score=round(score, 1),
                )
            )
    order = {"target": 0, "reagent": 1, "card": 2}
    return sorted(hits, key=lambda hit: (-hit.score, order[hit.kind], hit.name))[:MOST_HITS]
