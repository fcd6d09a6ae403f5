"""Times of placing and lighting that contradict the order in which things were recorded: one of them is wrong.

A charge that counts as placed after its fire was lit gets too few minutes at heat, or none; one that counts as placed
in a later firing before an earlier one is looked for in the wrong furnace. Nothing here is refused; it is said.
"""

from collections.abc import Iterator
from typing import NamedTuple

from bench.records.record import Record
from bench.records.state import State
from bench.translation import _
from bench.workshop.things.charges import Charge, charge
from bench.workshop.things.firings import charges_in, firing, move_of


class Amiss(NamedTuple):
    """What does not fit, in words, and the record to correct first."""

    say: str
    record: Record


def amiss_in(state: State, fire: str) -> list[Amiss]:
    """What does not fit in the times of all charges that were ever placed in a firing."""
    views = [charge(state, one) for one in charges_in(state, fire)]
    return [each for view in views if view is not None for each in times_amiss(state, view, fire)]


def times_amiss(state: State, view: Charge, fire: str) -> Iterator[Amiss]:
    """What does not fit in the times of a charge in a firing."""
    lit, placed = state.slot(fire, "lit").record, _placed(state, view.id, fire)
    if lit is None or placed is None:
        return
    if _after_lighting(state, view.id, placed, lit):
        say = _("{code} counts as placed after lighting, so heat before that is not counted.", code=_code(view))
        yield Amiss(say, placed)
    for other in dict.fromkeys(r.body.firing for r in state.by_time(view.id, "placed")):
        before, lit_before = _placed(state, view.id, other), state.slot(other, "lit").record
        if before is not None and lit_before is not None and lit_before.when < lit.when and before.when > placed.when:
            say = _("{code} counts as placed in {name} after this one, but that was lit first.",
                    code=_code(view), name=_name(state, other))  # fmt: skip
            yield Amiss(say, placed)


def _placed(state: State, charge: str, fire: str) -> Record | None:
    """Its last placing in a firing."""
    return next((r for r in reversed(state.by_time(charge, "placed")) if r.body.firing == fire), None)


def _after_lighting(state: State, charge: str, placed: Record, lit: Record) -> bool:
    """Recorded before the lighting, dated after it. What was loaded into a fire that burns is recorded after it."""
    moved = any(r.body.firing == placed.body.firing and move_of(r) == charge for r in state.rows(charge, "went.in"))
    return not moved and placed.when > lit.when and _first_said(state, placed).order < _first_said(state, lit).order


def _first_said(state: State, record: Record) -> Record:
    """The record that said it first, where it was corrected since."""
    while record.corrects:
        earlier = min((r for one in record.corrects if (r := state.record(one))), key=lambda r: r.order, default=None)
        if earlier is None:
            return record
        record = earlier
    return record


def _code(view: Charge) -> str:
    code = view.crucible_code
    return f"{code[:5]}-{code[5:]}" if code else str(_("A crucible"))


def _name(state: State, thing: str) -> str:
    view = firing(state, thing)
    return view.name if view is not None else str(_("another firing"))
