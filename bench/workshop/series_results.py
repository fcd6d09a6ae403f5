"""A series: its batches with their levels, their places in the load drawn by lot, and what came of each level."""

from collections.abc import Iterable
from dataclasses import dataclass
from hashlib import sha256
from statistics import fmean
from typing import Any

from bench.records.state import State
from bench.science.colour import Lab
from bench.science.effects import Effects, effects
from bench.workshop.repeats import Member, member
from bench.workshop.things.batches import Batch, batch
from bench.workshop.things.charges import batches_of, charge

CONTROL, END = "control", "end"
"""What a series' record says, beside itself, of batches that stood before it: its control, and a blend's other end."""
END_LEVEL = 100.0
ENDED = ("closed", "failed")
FIGURES = ("L*", "a*", "b*", "yield")


@dataclass(frozen=True)
class InSeries:
    """One batch of a series; its control, and the other end of a blend, were planned before it."""

    view: Batch
    level: Any


@dataclass(frozen=True)
class Result:
    """One figure of all levels: its values a batch, and what can be told from them."""

    name: str
    values: dict[Any, tuple[float, ...]]
    found: Effects


@dataclass(frozen=True)
class Results:
    """What came of a series. `counted` are the batches of the one load that is judged, `apart` those of other loads."""

    counted: tuple[str, ...]
    apart: tuple[str, ...]
    figures: tuple[Result, ...]


def series_batches(state: State, thing: str) -> list[InSeries]:
    """The batches of a series by their level, those that stood before it among them."""
    plan, record = state.slot(thing, "series.planned").body, state.slot(thing, "series.planned").record
    if plan is None or record is None:
        return []
    found: dict[str, InSeries] = {}
    for one in dict.fromkeys(each.subject for each in state.touching(thing, "batch.planned")):
        own = state.slot(one, "batch.planned").body
        if own is not None and own.series == thing:
            found |= _known(state, one, own.level)
    for name, level in ((CONTROL, plan.control), (END, END_LEVEL)):
        if name in record.also and record.also[name] not in found:
            found |= _known(state, record.also[name], level)
    return sorted(found.values(), key=lambda one: (isinstance(one.level, str), one.level or 0, one.view.id))


def _known(state: State, thing: str, level: Any) -> dict[str, InSeries]:
    view = batch(state, thing) if state.exists(thing) else None
    return {} if view is None else {thing: InSeries(view, level)}


def drawn_order(series: str, batches: Iterable[str]) -> dict[str, int]:
    """The place of each batch in the load, from 1: drawn by lot, and the same whenever it is asked for."""
    drawn = sorted(batches, key=lambda one: sha256(f"{series} {one}".encode()).digest())
    return {one: n for n, one in enumerate(drawn, 1)}


def waiting_batches(state: State, series: str) -> list[InSeries]:
    """The batches of a series that wait for their fire, by their level."""
    members = [one for one in series_batches(state, series) if one.view.state not in ENDED]
    return [one for one in members if not fires_of(state, one.view)]


@dataclass(frozen=True)
class Drawn:
    """The place that a charge of a series drew, from 1; and the charges of all that wait with it."""

    n: int
    of: int
    together: frozenset[str]


def drawn_for(state: State, thing: str) -> Drawn | None:
    """What the batch of a charge drew, where it waits with others of its series."""
    for one in batches_of(state, thing):
        plan = state.slot(one, "batch.planned").body
        if plan is None or not plan.series:
            continue
        waiting = {each.view.id: each.view for each in waiting_batches(state, plan.series)}
        if one in waiting and len(waiting) > 1:
            together = frozenset(c for view in waiting.values() for c in view.charges)
            return Drawn(drawn_order(plan.series, waiting)[one], len(waiting), together)
    return None


def results(state: State, thing: str) -> Results:
    """What came of each level, and what can be told: of batches that were fired together alone.

    Batches of another load may differ by the fire. Where each level had a fire of its own, nothing can be told.
    """
    plan = state.slot(thing, "series.planned").body
    found = series_batches(state, thing)
    came = {one.view.id: member(state, one.view.id) for one in found}
    known = [one for one in found if _figures(came[one.view.id])]
    loads: dict[frozenset[str], list[InSeries]] = {}
    for one in known:
        loads.setdefault(fires_of(state, one.view), []).append(one)
    together = max(loads.items(), key=lambda one: (bool(one[0]), len(one[1])), default=(frozenset(), []))[1]
    reference = _reference(together, plan.control if plan is not None else None)
    groups = {name: _by_level(together, came, name) for name in FIGURES}
    asked = sum(max(0, len(levels) - 1) for levels in groups.values())
    counted = tuple(one.view.id for one in together)
    return Results(
        counted,
        tuple(one.view.id for one in known if one.view.id not in counted),
        tuple(Result(name, levels, effects(levels, reference, asked)) for name, levels in groups.items() if levels),
    )


def level_labs(state: State, thing: str) -> dict[Any, Lab]:
    """The mean colour of each level, whatever load its batches were fired in: to guess by, not to tell an effect."""
    found: dict[Any, list[Lab]] = {}
    for one in series_batches(state, thing):
        lab = member(state, one.view.id).lab
        if lab is not None:
            found.setdefault(one.level, []).append(lab)
    return {level: _mean(labs) for level, labs in found.items()}


def _mean(labs: list[Lab]) -> Lab:
    l_, a, b = (fmean(lab[axis] for lab in labs) for axis in range(3))
    return l_, a, b


def _reference(together: list[InSeries], control: Any) -> Any:
    levels = [one.level for one in together]
    return control if control in levels else next(iter(levels), None)


def fires_of(state: State, view: Batch) -> frozenset[str]:
    """The firings that the charges of a batch went into."""
    charges = [charge(state, one) for one in view.charges]
    return frozenset(s.firing for one in charges if one is not None for s in one.residences if s.went_in is not None)


def _figures(one: Member) -> dict[str, float]:
    """One value of each figure: however often a batch was measured, it is one batch."""
    lab = one.lab
    found = dict(zip(FIGURES, lab, strict=False)) if lab is not None else {}
    return found | ({"yield": one.yield_pct} if one.yield_pct is not None else {})


def _by_level(together: list[InSeries], came: dict[str, Member], name: str) -> dict[Any, tuple[float, ...]]:
    found: dict[Any, tuple[float, ...]] = {}
    for one in together:
        value = _figures(came[one.view.id]).get(name)
        if value is not None:
            found[one.level] = (*found.get(one.level, ()), value)
    return found
