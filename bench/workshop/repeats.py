"""Did it repeat? All batches of one recipe in a row, and the spread between them against the spread within them."""

from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import islice
from math import sqrt
from statistics import fmean, stdev
from typing import Any

from bench.records.kinds import BatchPlanned
from bench.records.state import State
from bench.science.colour import Lab
from bench.workshop.again import REPEATS
from bench.workshop.lineage import offspring
from bench.workshop.things.batches import batch
from bench.workshop.things.charges import charge
from bench.workshop.things.pigments import mass_g, pigment, raw_g
from bench.workshop.things.swatches import swatch

FEWEST = 3
"""Fewer batches tell no spread (project default)."""
SAME_SHARE, SAME_OF_SHARE = 0.001, 0.02
SAME_C, SAME_MIN = 10.0, 15.0
"""Two plans are one recipe where peak and hold are nearer than this, and each share by a part of the whole and one of
itself, so that a flux that was doubled is another recipe (project default)."""

MOST, MOST_LOOKED = 40, 500
"""So many batches of a recipe are compared, and so many of the newest are asked whether they are of it."""

Recipe = list[Any]


@dataclass(frozen=True)
class Member:
    """One batch of a recipe: when it was planned, what of its charges came out, and the masstone of its swatches.

    `yields_pct` are the grams out for a hundred in, a crucible each; `labs` the colour of each swatch without white.
    """

    id: str
    planned: datetime
    yields_pct: tuple[float, ...]
    labs: tuple[Lab, ...]
    verdicts: tuple[str, ...]
    fired_pct: tuple[float, ...] = ()
    """Grams as they came out of the fire, before any rinse, for a hundred in."""

    @property
    def yield_pct(self) -> float | None:
        return fmean(self.yields_pct) if self.yields_pct else None

    @property
    def lab(self) -> Lab | None:
        if not self.labs:
            return None
        l_, a, b = (fmean(one[axis] for one in self.labs) for axis in range(3))
        return l_, a, b


@dataclass(frozen=True)
class Spread:
    """The spread of one figure: the standard deviation between the batches, and within them where one has several.

    `f` is the ratio of their variances, counted for one value of a batch; None where one of the two is not known.
    """

    name: str
    unit: str
    batches: int
    between: float | None
    within: float | None
    f: float | None

    @property
    def known(self) -> bool:
        return self.between is not None


@dataclass(frozen=True)
class Family:
    """The batches of one recipe that are looked at, oldest first; `more` where there may be others."""

    batches: tuple[str, ...]
    more: bool = False


def family_of(state: State, thing: str) -> Family:
    """The batches of one recipe: made again from one another, or alike in shares, target and soak; the newest of them,
    where there are many."""
    return state.memoize(("family", thing), lambda: _family_of(state, thing))


def _family_of(state: State, thing: str) -> Family:
    if recipe_of(state, thing) is None:
        return Family(())
    found = dict.fromkeys(islice(_made_again(state, thing), MOST))
    lined = state.lined_up("batch")
    near = (one for one in reversed(lined[-MOST_LOOKED:]) if one not in found and _alike(state, thing, one))
    alike_too = list(islice(near, MOST - len(found) + 1))
    more = len(lined) > MOST_LOOKED or len(found) + len(alike_too) > MOST
    kept = [*found, *alike_too][:MOST]
    return Family(tuple(sorted(kept, key=state.made_at)), more)


def _made_again(state: State, thing: str) -> Iterator[str]:
    """A batch, what it was made from again, and what was made from it again, and so on; the nearest first."""
    seen = {thing}
    ahead = deque([thing])
    while ahead:
        one = ahead.popleft()
        yield one
        record = state.slot(one, "batch.planned").record
        near = [r.subject for r in state.rows(one, "batch.planned") if r.also.get(REPEATS) == one]
        near += [record.also[REPEATS]] if record is not None and REPEATS in record.also else []
        near = [other for other in near if other not in seen and _alike(state, thing, other, made_again=True)]
        seen.update(near)
        ahead.extend(near)


def _alike(state: State, one: str, other: str, made_again: bool = False) -> bool:
    first, second = recipe_of(state, one), recipe_of(state, other)
    return first is not None and second is not None and state.exists(other) and same(first, second, made_again)


def recipe_of(state: State, thing: str) -> Recipe | None:
    """The recipe of a batch; None where it has no plan. Kept, since every batch is asked for it."""

    def read() -> Recipe | None:
        plan = state.slot(thing, "batch.planned").body
        return None if plan is None else recipe(plan)

    found: Recipe | None = state.worked_out(thing, "recipe", read)
    return found


def recipe(plan: BatchPlanned) -> Recipe:
    """What makes two plans one recipe, as plain values: target, cooling, shares and soak."""
    hottest = max(plan.schedule, key=lambda one: one.to_c, default=None)
    soak = None if hottest is None else [hottest.to_c, hottest.hold_min]
    return [plan.target_formula, plan.cooling_mode, _shares(plan), soak]


def alike(one: BatchPlanned, other: BatchPlanned, made_again: bool = False) -> bool:
    """Whether two plans are one recipe. Assays count: as much of each formula, however pure its jar was.

    What was made again is planned at the heat that was read, which may be another than was planned: it is not asked.
    """
    return same(recipe(one), recipe(other), made_again)


def same(one: Recipe, other: Recipe, made_again: bool = False) -> bool:
    """As `alike`, of two recipes."""
    (target, cooling, first, soak), (target_too, cooling_too, second, soaks) = one, other
    if target != target_too or cooling != cooling_too:
        return False
    if first.keys() != second.keys() or any(_apart(first[name], second[name]) for name in first):
        return False
    if made_again:
        return True
    if soak is None or soaks is None:
        return bool(soak == soaks)
    return bool(abs(soak[0] - soaks[0]) <= SAME_C and abs(soak[1] - soaks[1]) <= SAME_MIN)


def _apart(one: float, other: float) -> bool:
    return abs(one - other) > SAME_SHARE + SAME_OF_SHARE * one


def _shares(plan: BatchPlanned) -> dict[str, float]:
    found: dict[str, float] = {}
    for line in plan.lines:
        found[line.formula] = found.get(line.formula, 0.0) + line.target_g * line.assay_pct / 100
    whole = sum(found.values()) or 1.0
    return {name: g / whole for name, g in found.items()}


def member(state: State, thing: str) -> Member:
    """What came of one batch."""
    return state.memoize(("member", thing), lambda: _member(state, thing))


def _member(state: State, thing: str) -> Member:
    view = batch(state, thing)
    yields, labs, verdicts, fired = [], [], [], []
    for one in view.charges if view is not None else ():
        filled = charge(state, one)
        made = filled.pigment if filled is not None else None
        out = mass_g(state, made) if made is not None else None
        if filled is None or made is None or {s.batch for s in filled.charged.sources} != {thing}:
            continue
        raw = raw_g(state, made)
        if filled.dry_g > 0:
            yields += [100 * out / filled.dry_g] if out is not None else []
            fired += [100 * raw / filled.dry_g] if raw is not None else []
        labs += _labs(state, made)
        powder = pigment(state, made)
        verdicts += [powder.judged.verdict] if powder is not None and powder.judged is not None else []
    return Member(thing, state.records[thing].when, tuple(yields), tuple(labs), tuple(verdicts), tuple(fired))


def _labs(state: State, thing: str) -> list[Lab]:
    found = []
    for one in offspring(state, thing):
        view = swatch(state, one)
        if view is not None and view.colour is not None and not view.made.white_per_pigment:
            found.append(view.colour.lab)
    return found


def spreads(members: Sequence[Member]) -> list[Spread]:
    """The spread of the yield, of the fired mass, and of each axis of the colour."""
    found = [_spread("yield", "%", [one.yields_pct for one in members])]
    found.append(_spread("fired", "%", [one.fired_pct for one in members]))
    for axis, name in enumerate(("L*", "a*", "b*")):
        found.append(_spread(name, "", [tuple(lab[axis] for lab in one.labs) for one in members]))
    return found


def _spread(name: str, unit: str, groups: Sequence[tuple[float, ...]]) -> Spread:
    """One-way analysis of variance, for groups of unlike size."""
    filled = [group for group in groups if group]
    free = sum(len(group) - 1 for group in filled)
    inner = sum((value - fmean(group)) ** 2 for group in filled for value in group)
    within = sqrt(inner / free) if free else None
    if len(filled) < FEWEST:
        return Spread(name, unit, len(filled), None, within, None)
    between = stdev(fmean(group) for group in filled)
    if not within:
        return Spread(name, unit, len(filled), between, within, None)
    every = [value for group in filled for value in group]
    outer = sum(len(group) * (fmean(group) - fmean(every)) ** 2 for group in filled) / (len(filled) - 1)
    return Spread(name, unit, len(filled), between, within, outer / within**2)
