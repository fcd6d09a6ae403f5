"""A name that is typed where a formula is asked for: which substance of the library it may mean, in one sentence."""

import re
from typing import Final

from bench.reckoning.typed import shown
from bench.reference import Library
from bench.reference.hydrate_pairs import HydratePair
from bench.reference.names import plain
from bench.science.formulas import pretty
from bench.science.refusal import Refusal
from bench.translation import _

WORDS: Final = re.compile(r"[A-Za-z(),\-\s]*[a-z]{3}[A-Za-z(),\-\s]*")
STATE: Final = re.compile(r"\([IVX,]+\)")
MOST_NAMED: Final = 3


def is_words(text: str) -> bool:
    """Whether a text is words rather than a formula: small letters in a row and no figures."""
    return WORDS.fullmatch(text) is not None


def refuse_name(text: str, library: Library, field: str | None = None) -> None:
    """Refuses a name that nobody knows here, with the forms or the reagents that it may mean."""
    pair = pair_of(text, library)
    if pair is not None:
        low, high = pair.lower, pair.hydrate
        say = _(
            "{text} may be {low} ({by_eye_lower}) or {high} ({by_eye_hydrate}).",
            text=text,
            low=low,
            by_eye_lower=pair.by_eye_lower,
            high=high,
            by_eye_hydrate=pair.by_eye_hydrate,
        )
        raise Refusal(_("{say} Type the formula on the label.", say=say), field, (low, high))
    near = _near(text, library)
    if near:
        raise Refusal(
            _("No reagent is called {text}. Is it {near}? Then type its formula.", text=shown(text), near=near), field
        )
    raise Refusal(_("{text} is neither a known reagent nor a formula. Give a formula.", text=shown(text)), field)


def pair_of(text: str, library: Library) -> HydratePair | None:
    """The two forms that are sold by one name, such as aluminium chloride."""
    return next((each for each in library.hydrate_pairs if _name(each.name) == _name(text)), None)


def _name(text: str) -> str:
    return plain(STATE.sub("", text.partition(":")[0].partition(",")[0]))


def _near(text: str, library: Library) -> str:
    """The reagents that hold all words of the name, with their formulas."""
    words = set(text.casefold().replace("-", " ").split())
    rows = [row for row in library.reagents.values() if words <= set(re.findall(r"[a-z]+", row.name.casefold()))]
    return _(" or ").join(f"{row.name} ({pretty(row.formula)})" for row in rows[:MOST_NAMED])
