"""All swatches in an order that the eye can follow: by hue, by value, or the newest first; or of an element alone."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import atan2, degrees, hypot

from bench.records.state import State
from bench.reference.search import words_of
from bench.reference.spelling import close
from bench.science.colour import Lab
from bench.workshop.things.charges import batches_of
from bench.workshop.things.crucibles import charge_elements, earlier_charges
from bench.workshop.things.swatches import colour_of, photos_of
from bench.workshop.trying import signs_seen

MOST_WORDS = 12
ORDERS = ("hue", "value", "date")
GREY_CHROMA = 6.0
"""Under this chroma a colour has no hue to be sorted by (project default)."""


@dataclass(frozen=True)
class Spot:
    """One swatch on the wall: its measured colour, else its newest photo."""

    id: str
    pigment: str
    lab: Lab | None
    photo: str | None
    tint: bool
    se: Lab | None = None


def spots(state: State, element: str = "", typed: str = "") -> list[Spot]:
    """Every swatch, oldest first; with `element` those whose powder was made with it, with `typed` those that the words
    fit, each word as it is, as a part of one, or a slip away.
    """
    found: list[Spot] = state.memoize(("wall", element), lambda: _spots(state, element))
    wanted = words_of(typed)[:MOST_WORDS]
    if not wanted:
        return found
    said: dict[str, frozenset[str]] = state.memoize("wall-words", lambda: _all_words(state))
    fitting = [_fitting(word, frozenset().union(*said.values())) for word in wanted]
    return [one for one in found if all(not fits.isdisjoint(said.get(one.id, ())) for fits in fitting)]


def _fitting(typed: str, known: frozenset[str]) -> frozenset[str]:
    """The words that a typed one may mean: itself and what it is a part of, else what is a slip or two away."""
    found = frozenset(word for word in known if word == typed or (len(typed) >= 3 and typed in word))
    return found or frozenset(word for word in known if close(typed, word))


def _all_words(state: State) -> dict[str, frozenset[str]]:
    """The words by which each swatch may be remembered."""
    made = {thing: state.slot(thing, "swatch.made").body for thing in state.things("swatch")}
    powders = {one.pigment: frozenset[str]() for one in made.values() if one is not None}
    powders = {powder: frozenset(words_of(" ".join(_said_of(state, powder)))) for powder in powders}
    return {
        thing: powders[one.pigment] | frozenset(words_of(f"{one.binder} {state.code_of(thing) or ''}"))
        for thing, one in made.items()
        if one is not None
    }


def _said_of(state: State, pigment: str) -> Iterator[str]:
    """A powder's name, code, targets, level, signs and the words of its verdict."""
    yield state.code_of(pigment) or ""
    for thing in {b for c in earlier_charges(state, pigment) for b in batches_of(state, c)}:
        plan = state.slot(thing, "batch.planned").body
        if plan is not None:
            yield f"{plan.name} {plan.target or ''} {plan.notes or ''}"
    yield from signs_seen(state, pigment)
    for record in state.by_time(pigment, "judged")[-1:]:
        yield f"{record.body.words or ''} {record.body.verdict}"


def _spots(state: State, element: str) -> list[Spot]:
    found = []
    for thing in state.things("swatch"):
        made = state.slot(thing, "swatch.made").body
        if made is None or (element and element not in elements_of(state, made.pigment)):
            continue
        colour = colour_of([r.body for r in state.own(thing, "swatch.measured")])
        lab, se = (colour.lab, colour.se) if colour is not None else (None, None)
        photos = photos_of(state, thing)
        photo = photos[-1] if photos else None
        found.append(Spot(thing, made.pigment, lab, photo, bool(made.white_per_pigment), se))
    return found


def elements_of(state: State, pigment: str) -> frozenset[str]:
    """The elements of everything that a powder was made of."""
    charges = earlier_charges(state, pigment)
    return frozenset().union(*(charge_elements(state, charge) for charge in charges))


def wall(state: State, by: str, element: str = "", typed: str = "") -> list[Spot]:
    """The swatches that are asked for, in an order; what was typed is looked for anew each time."""
    if typed:
        return ordered(spots(state, element, typed), by)
    return state.memoize(("wall", element, by), lambda: ordered(spots(state, element), by))


def ordered(found: Sequence[Spot], by: str) -> list[Spot]:
    """By hue from red round to purple, greys after them; by value from dark to light; by date, the newest first.

    What is not measured comes after what is, the newest first.
    """
    newest = list(found)[::-1]
    if by not in ("hue", "value"):
        return newest
    known = [one for one in newest if one.lab is not None]
    return sorted(known, key=_hue if by == "hue" else _value) + [one for one in newest if one.lab is None]


def _value(one: Spot) -> float:
    return one.lab[0] if one.lab is not None else 0.0


def _hue(one: Spot) -> tuple[bool, float, float]:
    lightness, a, b = one.lab or (0.0, 0.0, 0.0)
    grey = hypot(a, b) < GREY_CHROMA
    return grey, lightness if grey else degrees(atan2(b, a)) % 360, lightness
