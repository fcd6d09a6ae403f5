"""A crucible: its ware, tare and rating, what it holds now and what it has held."""

from dataclasses import dataclass
from typing import Literal

from bench.science.formulas import parse
from bench.science.refusal import Refusal
from bench.workshop.kinds import CrucibleAdded
from bench.workshop.state import State

Standing = Literal["free", "holding", "to-clean", "ended"]
ENDS = ("cracked", "broken", "retired")


@dataclass(frozen=True)
class Crucible:
    """A vessel. Masses in grams; `standing` says whether it can be filled now."""

    id: str
    code: str | None
    added: CrucibleAdded
    tare_g: float | None
    lid_g: float | None
    condition: str
    standing: Standing
    holds: str | None  # the open charge in it

    @property
    def rated_c(self) -> float | None:
        return self.added.rated_c

    @property
    def volume_ml(self) -> float:
        return self.added.volume_ml


def crucible(state: State, thing: str) -> Crucible | None:
    """The crucible, or None when there is no such vessel."""
    added = state.slot(thing, "crucible.added").body
    if added is None:
        return None
    seen = [r.body for r in state.own(thing, "crucible.seen")]
    tares = [s.tare_g for s in seen if s.tare_g is not None]
    lids = [s.lid_g for s in seen if s.lid_g is not None]
    condition = seen[-1].condition if seen else "sound"
    holds = held_charge(state, thing)
    return Crucible(
        id=thing,
        code=state.code_of(thing),
        added=added,
        tare_g=tares[-1] if tares else None,
        lid_g=lids[-1] if lids else None,
        condition=condition,
        standing=_standing(state, thing, condition, holds),
        holds=holds,
    )


def held_charge(state: State, thing: str) -> str | None:
    """The charge that is in a crucible now: filled, and neither opened, lost nor closed since."""
    for record in reversed(state.rows(thing, "charged")):
        charge = record.subject
        if record.body.crucible == thing and not _emptied(state, charge):
            return charge
    return None


def _emptied(state: State, charge: str) -> bool:
    return bool(state.own(charge, "opened") or state.own(charge, "closed"))


def _standing(state: State, thing: str, condition: str, holds: str | None) -> Standing:
    if condition in ENDS or state.own(thing, "closed"):
        return "ended"
    if holds is not None:
        return "holding"
    fills = [r for r in state.rows(thing, "charged") if r.body.crucible == thing]
    seen = state.own(thing, "crucible.seen")
    if fills and (not seen or seen[-1].order < fills[-1].order):
        return "to-clean"
    return "to-clean" if condition == "stained" else "free"


def held_elements(state: State, thing: str) -> frozenset[str]:
    """The elements of what a crucible has held since it was last seen clean."""
    cleaned = [r.order for r in state.own(thing, "crucible.seen") if r.body.condition == "clean"]
    found: set[str] = set()
    for record in state.rows(thing, "charged"):
        if record.body.crucible == thing and (not cleaned or record.order > cleaned[-1]):
            found |= charge_elements(state, record.subject)
    return frozenset(found)


def charge_elements(state: State, charge: str) -> frozenset[str]:
    """The elements of all lines of a charge, through every batch and earlier generation it came from."""
    found: set[str] = set()
    for formula in charge_formulas(state, charge):
        try:
            found |= set(parse(formula).counts)
        except Refusal:
            continue
    return frozenset(found)


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
        for earlier in earlier_charges(state, source.pigment):
            found += charge_formulas(state, earlier, _seen | {charge})
    return found


def earlier_charges(state: State, pigment: str | None, _seen: frozenset[str] = frozenset()) -> list[str]:
    """The charges that a pigment came from: the one it was opened from, or those it was gathered from."""
    if pigment is None or pigment in _seen:
        return []
    found = [r.subject for r in state.rows(pigment, "opened")]
    for record in state.own(pigment, "gathered"):
        for source in record.body.sources:
            found += [source.charge] if source.charge else []
            found += earlier_charges(state, source.pigment, _seen | {pigment})
    return found
