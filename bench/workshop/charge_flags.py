"""What was done with a charge against a rule of order: into the heat, or into a crucible that was full."""

from collections.abc import Iterator
from datetime import datetime
from functools import partial

from bench.records.record import Record
from bench.records.state import State
from bench.records.store import by_time_then_order
from bench.translation import _
from bench.workshop.things.charges import Charge
from bench.workshop.things.firings import move_of
from bench.workshop.things.residences import Residence

Told = tuple[str, datetime | None, str | None]
"""What was broken, of a thing that is named before it; when; and the record that tells it."""


def against_order(state: State, view: Charge, only: str | None = None) -> Iterator[Told]:
    """What was broken with a charge; with `only`, what this firing had a part in."""
    if view.was_hot and view.damp and only in (None, _first_hot(view).firing):
        yield _("went into the heat without being recorded dry."), _first_hot(view).went_in, None
    for stay in view.residences:
        if only in (None, stay.firing):
            yield from _of_stay(state, view, stay)
    yield from _shared(state, view)


def _first_hot(view: Charge) -> Residence:
    return next(stay for stay in view.residences if stay.went_in is not None)


def _of_stay(state: State, view: Charge, stay: Residence) -> Iterator[Told]:
    own = [r for r in state.rows(view.id, "went.in") if r.body.firing == stay.firing and move_of(r) == view.id]
    if own and stay.placed is None:
        yield _("went into a firing in which it was not placed."), own[0].when, own[0].id
    for one in own:
        if _is_in_already(state, view, stay, one):
            yield _("was recorded as going in while it was in the heat."), one.when, one.id


def _is_in_already(state: State, view: Charge, stay: Residence, one: Record) -> bool:
    others = [s for s in view.residences if s.firing != stay.firing and s.went_in is not None]
    if any(s.went_in < one.when and (s.came_out is None or s.came_out > one.when) for s in others if s.went_in):
        return True
    since = [moment for moment in _goings_in(state, view, stay) if moment < one.when]
    outs = [r.when for r in _moves_out(state, view, stay)]
    return bool(since) and not any(max(since) <= out <= one.when for out in outs)


def _goings_in(state: State, view: Charge, stay: Residence) -> list[datetime]:
    """When it went in: by its own records, and with the fire in which it stood or was placed."""
    found = [r.when for r in state.rows(view.id, "went.in") if r.body.firing == stay.firing]
    lit, placed = state.slot(stay.firing, "lit").record, state.slot(view.id, "placed", stay.firing).record
    return [*found, max(lit.when, placed.when)] if lit is not None and placed is not None else found


def _moves_out(state: State, view: Charge, stay: Residence) -> list[Record]:
    found = [*state.rows(view.id, "came.out"), *state.rows(stay.firing, "came.out")]
    return [r for r in found if r.body.firing == stay.firing and move_of(r) in (None, view.id)]


def _shared(state: State, view: Charge) -> Iterator[Told]:
    """Another charge that was in its crucible when it was filled."""
    filled = state.slot(view.id, "charged").record
    if filled is not None and view.id in state.worked_out(view.crucible, "overfilled", partial(_late, state, view)):
        yield _("was filled while it held another charge."), filled.when, filled.id


def _late(state: State, view: Charge) -> list[str]:
    """The charges of a crucible that were filled into it while another one was in it."""
    fills = [r for r in state.effective_records(view.crucible, "charged") if r.body.crucible == view.crucible]
    fills.sort(key=by_time_then_order)
    return [r.subject for n, r in enumerate(fills) if any(not _ended_by(state, f.subject, r.when) for f in fills[:n])]


def _ended_by(state: State, thing: str, moment: datetime) -> bool:
    """Whether a charge was out of its crucible by then; one that was gathered counts as such."""
    ends = [r.when for kind in ("opened", "closed") for r in state.own(thing, kind)]
    return any(end <= moment for end in ends) or bool(not ends and state.emptied(thing))
