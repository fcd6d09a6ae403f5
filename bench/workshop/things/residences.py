"""The stays of a charge in furnaces: where it was placed, when it went into the heat, and when it came out.

A placing before the fire goes in with it. A charge that was placed elsewhere before the fire was lit does not. *All out
now* takes out whatever is in; what is told apart later counts before it.
"""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from bench.records.record import Record
from bench.records.state import State
from bench.records.store import by_time_then_order
from bench.workshop.things.firings import fire_off, move_of


@dataclass(frozen=True)
class Residence:
    """One stay of a charge in a furnace. `came_out` is None while it is in; `rest_place` says where it was put.

    `placed` is None for what went in without being given a place. `unconfirmed`: it was taken for the next one in the
    order of unloading, and its tag was not checked since.
    """

    firing: str
    placed: Any
    went_in: datetime | None
    came_out: datetime | None
    rest_place: str | None
    unconfirmed: bool = False


def residences_of(state: State, thing: str) -> tuple[Residence, ...]:
    """The stays of a charge, oldest first.

    A placing that came to nothing is none: its firing was closed unlit or its plan withdrawn, or the charge was placed
    elsewhere before the fire.
    """
    placings = state.by_time(thing, "placed")
    moves = [r for kind in ("went.in", "came.out") for r in state.rows(thing, kind) if move_of(r) == thing]
    firings = dict.fromkeys(r.body.firing for r in (*placings, *moves))
    found = [_stay(state, thing, firing, placings) for firing in firings]
    real = [(since, stay) for since, stay in found if stay.went_in is not None or _stands_ready(state, stay, placings)]
    return tuple(stay for _, stay in sorted(real, key=lambda pair: (pair[0], pair[1].firing)))


def _stands_ready(state: State, stay: Residence, placings: list[Record]) -> bool:
    withdrawn = state.sort_of(stay.firing) is not None and not state.exists(stay.firing)
    return placings[-1].body.firing == stay.firing and not withdrawn and not state.own(stay.firing, "closed")


def _stay(state: State, thing: str, firing: str, placings: list[Record]) -> tuple[datetime, Residence]:
    """A stay, and the moment by which it stands among the others."""
    here = [r for r in placings if r.body.firing == firing]
    went_in = _went_in(state, thing, firing, placings)
    out = _came_out(state, thing, firing, placings, went_in)
    if went_in is None and out is not None:
        went_in = here[-1].when if here else out.when  # what came out of a furnace was in it, whatever is missing
    stay = Residence(
        firing=firing,
        placed=state.slot(thing, "placed", firing).body,
        went_in=went_in,
        came_out=out.when if out else None,
        rest_place=out.body.rest_place if out else None,
        unconfirmed=out is not None and out.body.unconfirmed,
    )
    return min(r.when for r in here) if here else went_in or placings[0].when, stay


def _stood_in(placings: list[Record], firing: str, moment: datetime) -> bool:
    """Whether the last placing up to a moment was in this firing."""
    before = [r for r in placings if r.when <= moment]
    return bool(before) and before[-1].body.firing == firing


def _moves(state: State, firing: str, kind: str, thing: str | None) -> list[Record]:
    """The goings in or comings out of one charge, or with None those of all charges together, by their time."""
    found = state.rows(firing if thing is None else thing, kind)
    return sorted((r for r in found if r.body.firing == firing and move_of(r) == thing), key=by_time_then_order)


def _went_in(state: State, thing: str, firing: str, placings: list[Record]) -> datetime | None:
    own = _moves(state, firing, "went.in", thing)
    lit = state.slot(firing, "lit").record
    if own:
        return max(own[0].when, lit.when) if lit else own[0].when
    start = next(iter(_moves(state, firing, "went.in", None)), lit)
    if start is None:
        return None
    if _stood_in(placings, firing, start.when):
        return start.when
    # A placing made while it burns goes in at that moment.
    return next((r.when for r in placings if r.body.firing == firing and r.when > start.when), None)


def _came_out(state: State, thing: str, firing: str, placings: list[Record], went_in: datetime | None) -> Record | None:
    own = _moves(state, firing, "came.out", thing)
    here = [r for r in placings if r.body.firing == firing]
    back = [r.when for r in (*here, *_moves(state, firing, "went.in", thing))]
    if own:
        return own[-1] if own[-1].when >= max(back, default=own[-1].when) else None
    since = max([*back, *([went_in] if went_in else [])])
    for out in _moves(state, firing, "came.out", None):
        if out.when >= since and (went_in is not None or _stood_in(placings, firing, out.when)):
            return out
    return None


def surface_reads(state: State, thing: str, residences: tuple[Residence, ...]) -> list[Record]:
    """What was read of this very thing since it was last in the heat, oldest first; nothing while it is in it."""
    ends = [_heat_end(state, stay) for stay in residences if stay.went_in is not None]
    known = [end for end in ends if end is not None]
    if len(known) < len(ends):
        return []
    read = [r for r in state.rows(thing, "touched") if r.body.thing == thing]
    return sorted((r for r in read if not known or r.when >= max(known)), key=by_time_then_order)


def _heat_end(state: State, stay: Residence) -> datetime | None:
    # What is still in the furnace cools from when the fire is out; None means that nothing says the heat has ended.
    if stay.came_out is not None or stay.went_in is None:
        return stay.came_out
    ends = [fire_off(state, stay.firing), *state.by_time(stay.firing, "closed")]
    return min((r.when for r in ends if r is not None and r.when >= stay.went_in), default=None)
