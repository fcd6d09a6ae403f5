"""A pigment: what came out of a crucible, how it was washed and ground, and what was judged of it."""

from dataclasses import dataclass
from typing import Any, Literal, cast

from bench.records.record import Record
from bench.records.state import State
from bench.records.store import by_time_then_order
from bench.steps import STEPS
from bench.steps.folding import added
from bench.steps.judge import AFTER
from bench.steps.named import EMPTY_FRACTION, EMPTY_G
from bench.workshop.things.crucibles import earlier_charges, tare_at
from bench.workshop.things.jars import lost_g

PigmentState = Literal["raw", "washed", "ground", "dry", "kept", "refire", "make-up", "tint", "waste"]


@dataclass(frozen=True)
class Pigment:
    """A fired powder. Masses in grams; `generation` counts the fires it went through as a charge of its own."""

    id: str
    code: str | None
    charges: tuple[str, ...]
    generation: int
    raw_g: float | None
    dry_g: float | None
    used_g: float
    lost_g: float
    taken_g: float  # by steps, since it was last weighed
    washes: int
    state: PigmentState
    judged: Any
    swatches: tuple[str, ...]

    @property
    def left_g(self) -> float | None:
        start = self.dry_g if self.dry_g is not None else self.raw_g
        return None if start is None else start - self.used_g - self.lost_g - self.taken_g


def is_used_up(view: Pigment) -> bool:
    """Whether nothing worth loading is left of a powder. What was never weighed counts as used once any of it was."""
    left = view.left_g
    return view.used_g > 0 and (left is None or left <= max(EMPTY_G, EMPTY_FRACTION * view.used_g))


def pigment(state: State, thing: str) -> Pigment | None:
    """The pigment, or None when there is no such powder."""
    return state.memoize(("pigment", thing), lambda: _pigment(state, thing))


def _pigment(state: State, thing: str) -> Pigment | None:
    if state.sort_of(thing) != "pigment" or not state.exists(thing):
        return None
    dry = state.slot(thing, "dry.weighed").body
    judged = state.by_time(thing, "judged")
    return Pigment(
        id=thing,
        code=state.code_of(thing),
        charges=tuple(dict.fromkeys(earlier_charges(state, thing))),
        generation=generation(state, thing),
        raw_g=raw_g(state, thing),
        dry_g=dry.net_g if dry else None,
        used_g=used_g(state, thing),
        lost_g=lost_g(state, thing),
        taken_g=taken_g(state, thing),
        washes=len(state.own(thing, "washed")),
        state=_state(state, thing),
        judged=judged[-1].body if judged else None,
        swatches=tuple(r.subject for r in state.effective_records(thing, "swatch.made") if r.body.pigment == thing),
    )


def raw_g(state: State, thing: str) -> float | None:
    """Grams that came out of the crucible, or were gathered; None while it was not weighed."""
    gathered = state.slot(thing, "gathered").body
    if gathered is not None:
        return float(sum(s.g for s in gathered.sources))
    opened = next((r for r in state.rows(thing, "opened") if state.made(r) == thing), None)
    if opened is None or opened.body.gross_g is None:
        return None
    tare = opened.body.tare_after_g
    if tare is None:
        charged = state.slot(opened.subject, "charged").body
        tare = tare_at(state, charged.crucible, opened.when) if charged else None
    return None if tare is None else float(opened.body.gross_g - tare)


def used_g(state: State, thing: str) -> float:
    """Grams of a powder that were put into a crucible again or gathered into another powder."""
    charged: float = sum(
        s.g for r in state.effective_records(thing, "charged") for s in r.body.sources if s.pigment == thing
    )
    gathered: float = sum(
        s.g for r in state.effective_records(thing, "gathered") for s in r.body.sources if s.pigment == thing
    )
    return charged + gathered


def taken_g(state: State, thing: str) -> float:
    """Grams that steps took off a powder since it was last weighed: what a sieve held back and was thrown away."""
    weighed = state.slot(thing, "dry.weighed").record
    taken = 0.0
    for step in STEPS:
        if step.record is None or "pigment" not in step.on:
            continue
        for record in state.own(thing, step.record):
            if weighed is None or by_time_then_order(record) > by_time_then_order(weighed):
                taken += added(step, "pigment.taken_g", record.data)
    return taken


def mass_g(state: State, thing: str) -> float | None:
    """Grams of a powder before any of it was used: weighed dry, or as it came out; None while it was not weighed."""
    dry = state.slot(thing, "dry.weighed").body
    return float(dry.net_g) if dry else raw_g(state, thing)


def generation(state: State, thing: str, _seen: frozenset[str] = frozenset()) -> int:
    """1 for what was fired once, 2 for what was a charge again after that, and so on."""
    if thing in _seen:
        return 1
    before = 0
    for charge in earlier_charges(state, thing):
        body = state.slot(charge, "charged").body
        for source in body.sources if body else ():
            if source.pigment is not None:
                before = max(before, generation(state, source.pigment, _seen | {thing}))
    return before + 1


WORKED = {"washed": "washed", "ground": "ground", "dry.weighed": "dry"}
"""How a powder stands after a record of its work."""


def cut_from(state: State, thing: str) -> tuple[str, Record] | None:
    """The one powder of which this one is a part, and the record that parted it; None where it is no part of one."""
    record = state.slot(thing, "gathered").record
    sources = list(record.body.sources) if record is not None else []
    if record is None or len(sources) != 1 or sources[0].pigment is None:
        return None
    return sources[0].pigment, record


def _state(state: State, thing: str) -> PigmentState:
    judged = state.own(thing, "judged")
    worked = [r for kind in WORKED for r in state.own(thing, kind)]
    newest = max([*worked, *judged], key=by_time_then_order, default=None)
    if newest is None:
        return _worked(state, thing, None, frozenset())
    return cast(PigmentState, AFTER[newest.body.verdict]) if newest.kind == "judged" else _as_state(newest.kind)


def _worked(state: State, thing: str, until: Record | None, seen: frozenset[str]) -> PigmentState:
    """How far a powder was worked before a record; a part of one stands as the whole did when it was parted."""
    found = [r for kind in WORKED for r in state.own(thing, kind)]
    before = [r for r in found if until is None or by_time_then_order(r) < by_time_then_order(until)]
    if before:
        return _as_state(max(before, key=by_time_then_order).kind)
    cut = cut_from(state, thing)
    return "raw" if cut is None or thing in seen else _worked(state, cut[0], cut[1], seen | {thing})


def _as_state(kind: str) -> PigmentState:
    return cast(PigmentState, WORKED[kind])
