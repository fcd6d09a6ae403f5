"""What a fired powder was made from, in grams of each reagent: the share of every line that it holds."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from math import fsum

from bench.records.kinds import Source
from bench.records.state import State
from bench.workshop.things.batches import batch
from bench.workshop.things.crucibles import earlier_charges
from bench.workshop.things.pigments import mass_g

SALT = "washed-out"
LEFT_FRACTION = 0.1
"""Of a salt solution a tenth stays with the powder at each decanting (common practice)."""


@dataclass(frozen=True)
class Held:
    """One reagent that went into a powder: `g` as it was weighed, before any fire. `jar` None: a typed formula."""

    formula: str
    name: str
    g: float
    fate: str
    assay_pct: float = 100.0
    jar: str | None = None


def held(state: State, pigment: str) -> tuple[Held, ...]:
    """All that one powder was made from, through every earlier fire; like lines summed, in the order of weighing."""
    return summed(_of_pigment(state, pigment, None, frozenset()))


def summed(items: Iterable[Held]) -> tuple[Held, ...]:
    """Like reagents as one: of one formula, jar and fate."""
    found: dict[tuple[str, str | None, str], Held] = {}
    for one in items:
        key = (one.formula, one.jar, one.fate)
        found[key] = replace(one, g=one.g + (found[key].g if key in found else 0.0))
    return tuple(found.values())


def _of_pigment(state: State, thing: str, g: float | None, seen: frozenset[str]) -> list[Held]:
    if thing in seen:
        return []
    whole = mass_g(state, thing)
    share = 1.0 if g is None or not whole else min(1.0, g / whole)
    gathered = state.slot(thing, "gathered").body
    found: list[Held] = []
    if gathered is None:
        for one in earlier_charges(state, thing):
            found += _of_charge(state, one, 1.0, seen | {thing})
    else:
        for source in gathered.sources:
            found += _of_source(state, source, seen | {thing})
    return [replace(one, g=one.g * share) for one in found]


def _of_charge(state: State, thing: str, share: float, seen: frozenset[str]) -> list[Held]:
    body = state.slot(thing, "charged").body
    found = [one for source in (body.sources if body else ()) for one in _of_source(state, source, seen)]
    return [replace(one, g=one.g * share) for one in found]


def _of_source(state: State, source: Source, seen: frozenset[str]) -> list[Held]:
    if source.batch is not None:
        return _of_batch(state, source.batch, source.g)
    if source.pigment is not None:
        return _of_pigment(state, source.pigment, source.g, seen)
    if source.charge is not None:
        parts = [s.g for r in state.gatherings(source.charge) for s in r.body.sources if s.charge == source.charge]
        return _of_charge(state, source.charge, source.g / (fsum(parts) or source.g or 1.0), seen)
    opened = state.slot(source.jar, "jar.opened").body if source.jar else None
    return [Held(opened.formula, opened.reagent, source.g, SALT, 100.0, source.jar)] if opened else []


def _of_batch(state: State, thing: str, g: float) -> list[Held]:
    view = batch(state, thing)
    if view is None or view.weighed_g <= 0:
        return []
    share = g / view.weighed_g
    return [
        Held(p.formula, p.name or p.formula, line.weighed_g * share, p.fate, p.assay_pct, p.jar)
        for line in view.lines
        if (p := line.plan) is not None and line.weighed_g is not None
    ]


def salts(state: State, pigment: str) -> tuple[Held, ...]:
    """The salts to be washed out of a powder: those of its last fire whole, those of a powder that was fired again as
    much as its own rinses left. What left as fume is not taken off: this is the most that can be there."""
    return summed(_salts(state, pigment, frozenset()))


def _salts(state: State, pigment: str, seen: frozenset[str]) -> list[Held]:
    if pigment in seen:
        return []
    gathered = state.slot(pigment, "gathered").record
    if gathered is not None and all(source.pigment is not None for source in gathered.body.sources):
        return [h for s in gathered.body.sources for h in _salts_of(state, s, seen | {pigment}, gathered.when)]
    found: list[Held] = []
    for one in earlier_charges(state, pigment):
        body = state.slot(one, "charged").body
        for source in body.sources if body else ():
            if source.pigment is None:
                found += [h for h in _of_source(state, source, seen) if h.fate == SALT]
            else:
                found += _salts_of(state, source, seen | {pigment})
    return found


def _salts_of(state: State, source: Source, seen: frozenset[str], until: datetime | None = None) -> list[Held]:
    """The salts in so many grams of a powder, after the rinses that it had till then."""
    thing = str(source.pigment)
    whole = mass_g(state, thing)
    rinses = [r for r in state.own(thing, "washed") if until is None or r.when <= until]
    share = LEFT_FRACTION ** len(rinses) * (min(1.0, source.g / whole) if whole else 1.0)
    return [replace(h, g=h.g * share) for h in _salts(state, thing, seen)]
