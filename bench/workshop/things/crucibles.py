"""A crucible: its ware, tare and rating, what it holds now and what it has held."""

from dataclasses import dataclass
from datetime import datetime
from functools import partial
from typing import Any, Literal

from bench.records.kinds import Source
from bench.records.record import Record
from bench.records.state import State
from bench.records.store import by_time_then_order
from bench.science.formulas import atoms_of, parsed

Standing = Literal["free", "holding", "to-clean", "ended"]
ENDS = ("cracked", "broken", "retired")


@dataclass(frozen=True)
class Crucible:
    """A vessel. Masses in grams; `standing` says whether it can be filled now."""

    id: str
    code: str | None
    added: Any
    tare_g: float | None
    lid_g: float | None
    condition: str
    standing: Standing
    holds: str | None  # the open charge in it

    @property
    def rated_c(self) -> float | None:
        rated: float | None = self.added.rated_c
        return rated

    @property
    def volume_ml(self) -> float:
        return float(self.added.volume_ml)


def crucible(state: State, thing: str) -> Crucible | None:
    """The crucible, or None when there is no such vessel."""
    return state.memoize(("crucible", thing), lambda: _crucible(state, thing))


def _crucible(state: State, thing: str) -> Crucible | None:
    added = state.slot(thing, "crucible.added").body
    if added is None:
        return None
    tare_g, lid_g, condition, standing, holds = state.worked_out(thing, "vessel", partial(_vessel, state, thing))
    return Crucible(thing, state.code_of(thing), added, tare_g, lid_g, condition, standing, holds)


def _vessel(state: State, thing: str) -> list[Any]:
    """Of a crucible: its tare and its lid in grams, its condition, how it stands, and the charge that it holds."""
    seen = [r.body for r in state.by_time(thing, "crucible.seen")]
    tares = [s.tare_g for s in seen if s.tare_g is not None]
    lids = [s.lid_g for s in seen if s.lid_g is not None]
    condition = seen[-1].condition if seen else "sound"
    holds = held_charge(state, thing)
    standing = _standing(state, thing, condition, holds)
    return [tares[-1] if tares else None, lids[-1] if lids else None, condition, standing, holds]


def tare_at(state: State, thing: str, moment: datetime) -> float | None:
    """The tare last weighed up to a moment, in grams, or the first one after it: a vessel gains and loses by use."""
    found = [r for r in state.by_time(thing, "crucible.seen") if r.body.tare_g is not None]
    before = [r for r in found if r.when <= moment]
    nearest = before[-1:] or found[:1]
    return float(nearest[0].body.tare_g) if nearest else None


def held_charge(state: State, thing: str) -> str | None:
    """The charge that is in a crucible now: filled, and neither opened, lost nor closed since."""
    for record in reversed(_fills(state, thing)):
        if not state.emptied(record.subject):
            return record.subject
    return None


def _fills(state: State, thing: str) -> list[Record]:
    """The fillings of a crucible by the time they were made."""
    found = [r for r in state.effective_records(thing, "charged") if r.body.crucible == thing]
    return sorted(found, key=by_time_then_order)


def _standing(state: State, thing: str, condition: str, holds: str | None) -> Standing:
    if condition in ENDS or state.own(thing, "closed"):
        return "ended"
    if holds is not None:
        return "holding"
    marks = [r for r in state.by_time(thing, "crucible.seen") if r.body.condition in ("clean", "stained")]
    if marks and marks[-1].body.condition == "stained":
        return "to-clean"
    return "free" if all(_cleaned_since(state, fill, marks) for fill in _fills(state, thing)) else "to-clean"


def _cleaned_since(state: State, fill: Record, seen: list[Record]) -> bool:
    """Whether a vessel was seen clean after what a filling brought into it was taken out again."""
    charge = fill.subject
    ends = [*state.own(charge, "opened"), *state.own(charge, "closed"), *state.gatherings(charge)]
    if not ends:
        return False
    emptied = max(by_time_then_order(r) for r in (fill, *ends))
    return any(r.body.condition == "clean" and by_time_then_order(r) > emptied for r in seen)


def held_elements(state: State, thing: str) -> frozenset[str]:
    """The elements of what a crucible has held since it was last seen clean, of the formulas that can be read."""
    return frozenset().union(*(charge_elements(state, charge) for charge in _since_clean(state, thing)))


def held_unread(state: State, thing: str) -> tuple[str, ...]:
    """What a crucible has held since it was last seen clean whose formula cannot be read, so that nobody knows it."""
    return tuple(dict.fromkeys(text for charge in _since_clean(state, thing) for text in charge_unread(state, charge)))


def _since_clean(state: State, thing: str) -> list[str]:
    """The charges that a crucible has held since it was last seen clean."""
    seen = state.by_time(thing, "crucible.seen")
    return [fill.subject for fill in _fills(state, thing) if not _cleaned_since(state, fill, seen)]


def charge_elements(state: State, charge: str) -> frozenset[str]:
    """The elements of all lines of a charge, through every batch and earlier generation it came from.

    Only of formulas that can be read: `charge_unread` names the others.
    """
    return frozenset().union(*map(atoms_of, charge_formulas(state, charge)))


def charge_unread(state: State, charge: str) -> tuple[str, ...]:
    """The formulas of a charge that cannot be read, as they were typed, each once."""
    return tuple(dict.fromkeys(text for text in charge_formulas(state, charge) if parsed(text) is None))


def charge_formulas(state: State, charge: str, _seen: frozenset[str] = frozenset()) -> list[str]:
    """The formulas of all lines of a charge, through every batch and earlier generation it came from."""
    body = state.slot(charge, "charged").body
    if body is None or charge in _seen:
        return []
    found: list[str] = []
    for source in body.sources:
        if source.batch is not None:
            plan = state.slot(source.batch, "batch.planned").body
            found += [line.formula for line in plan.lines] if plan else []
        if source.jar is not None:
            opened = state.slot(source.jar, "jar.opened").body
            found += [opened.formula] if opened else []
        for earlier in charges_before(state, source):
            found += charge_formulas(state, earlier, _seen | {charge})
    return found


def earlier_charges(state: State, pigment: str | None, _seen: frozenset[str] = frozenset()) -> list[str]:
    """The charges that a pigment came from: the one it was opened from, or those it was gathered from."""
    if pigment is None or pigment in _seen:
        return []
    opened, gathered = state.worked_out(pigment, "came-from", partial(_came_from, state, pigment))
    found = list(opened)
    for charge, powder in gathered:
        found += [charge] if charge else []
        found += earlier_charges(state, powder, _seen | {pigment})
    return list(dict.fromkeys(found))


def _came_from(state: State, pigment: str) -> list[Any]:
    """The charges that a powder was opened from, and (charge, powder) of what it was gathered from."""
    opened = [r.subject for r in state.rows(pigment, "opened") if state.made(r) == pigment]
    gathered = state.slot(pigment, "gathered").body
    return [opened, [[one.charge, one.pigment] for one in (gathered.sources if gathered else ())]]


def charges_before(state: State, source: Source) -> list[str]:
    """The charges of earlier fires from which a source came."""
    return [source.charge] if source.charge else earlier_charges(state, source.pigment)
