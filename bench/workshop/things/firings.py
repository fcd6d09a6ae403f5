"""A firing: one heating of a furnace with its load, from the plan to the checks after it."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import Any, Literal

import numpy as np

from bench.records.kinds import BurnerDescribed, FiringPlanned, FurnaceDescribed, Segment
from bench.records.moments import to_ms
from bench.records.record import Record
from bench.records.state import State
from bench.science.curve import Curve, Growing
from bench.science.leaps import fell_from, proved_c
from bench.translation import _

FiringState = Literal["planned", "checked", "lit", "soaking", "off", "after-checks", "closed"]
BAND_C = 10.0
"""The soak counts from the first reading that holds within this of the soak's temperature (common practice)."""


@dataclass(frozen=True)
class Firing:
    """One heating of a furnace."""

    id: str
    code: str | None
    plan: FiringPlanned
    furnace: FurnaceDescribed | None
    burner: BurnerDescribed | None
    state: FiringState
    lit_at: datetime | None
    deviations: tuple[str, ...]
    off: Any
    off_at: datetime | None
    closed: bool
    soak_start: datetime | None
    readings: tuple[Record, ...]  # by the time they were taken
    charges: tuple[str, ...]  # placed here, in the order of placing, also those that went on elsewhere
    curve: Curve = field(compare=False, repr=False)
    """The readings as (minutes since lighting, °C); since the first reading when it was never marked lit."""

    @property
    def name(self) -> str:
        return self.plan.name or (self.furnace.name if self.furnace else _("Firing"))

    @property
    def fuel(self) -> str:
        """gas, electric, or any where nothing is known of the furnace."""
        return self.furnace.fuel if self.furnace else "any"

    @property
    def last_reading(self) -> Record | None:
        return self.readings[-1] if self.readings else None

    @property
    def proved_c(self) -> float | None:
        """What hot ware is judged by: the last reading, or what it fell from too fast while nothing confirms it."""
        return proved_c(self.curve)

    @property
    def doubted(self) -> tuple[float, float] | None:
        """The (minutes before the last reading, °C) from which no furnace falls to it so soon; None where it may."""
        hot = fell_from(self.curve)
        return None if hot is None else (self.curve[-1][0] - hot[0], hot[1])

    @property
    def proved_at(self) -> datetime | None:
        """When that was read."""
        last, hot = self.last_reading, self.doubted
        return None if last is None else last.when - timedelta(minutes=hot[0] if hot is not None else 0.0)

    @property
    def peak_c(self) -> float:
        return max(s.to_c for s in self.plan.segments)

    @property
    def soak(self) -> Segment:
        """The hottest segment that is held, or the hottest when none is."""
        held = [s for s in self.plan.segments if s.hold_min > 0] or list(self.plan.segments)
        return max(held, key=lambda s: s.to_c)

    @property
    def burning(self) -> bool:
        return self.lit_at is not None and self.off_at is None


def firing(state: State, thing: str) -> Firing | None:
    """The firing, or None when there is no such firing."""
    return state.memoize(("firing", thing), lambda: _firing(state, thing))


def _firing(state: State, thing: str) -> Firing | None:
    plan = state.slot(thing, "firing.planned").body
    if plan is None or not plan.segments:
        return None
    lit = state.slot(thing, "lit").record
    off = fire_off(state, thing)
    readings, curve = readings_of(state, thing), _curve(state, thing, lit.when if lit else None)
    draft = Firing(
        id=thing,
        code=state.code_of(thing),
        plan=plan,
        furnace=state.slot(plan.furnace, "furnace.described").body,
        burner=state.slot(plan.burner, "burner.described").body if plan.burner else None,
        state="planned",
        lit_at=lit.when if lit else None,
        deviations=lit.body.deviations if lit else (),
        off=off.body if off else None,
        off_at=off.when if off else None,
        closed=bool(state.own(thing, "closed")),
        soak_start=None,
        readings=tuple(readings),
        charges=charges_in(state, thing),
        curve=curve,
    )
    start = _soak_start(curve, draft.soak.to_c)
    soak = readings[start].when if start is not None else None
    return replace(draft, soak_start=soak, state=_state(state, thing, draft, soak))


def fire_off(state: State, thing: str) -> Record | None:
    """The record by which the fire went out for the last time; None while it burns, also after a second lighting."""
    lit = [r.when for r in state.own(thing, "lit")]
    offs = state.by_time(thing, "fire.off")
    return offs[-1] if offs and (not lit or offs[-1].when >= max(lit)) else None


def _state(state: State, thing: str, draft: Firing, soak: datetime | None) -> FiringState:
    if draft.closed:
        return "closed"
    if draft.off is not None:
        return "after-checks" if answers(state, thing, "after-shutdown") else "off"
    if draft.lit_at is not None:
        return "soaking" if soak is not None else "lit"
    said = [r.body.answer for r in answers(state, thing, "before-lighting").values()]
    return "checked" if said and "not-done" not in said else "planned"


def readings_of(state: State, thing: str) -> list[Record]:
    """The standing readings of a firing by the time they were taken, which for late ones is not the order of entry."""
    return state.by_time(thing, "reading")


def curve(state: State, thing: str) -> list[tuple[float, float]]:
    """Readings as (minutes since lighting, °C); since the first reading when the fire was never marked lit."""
    found = readings_of(state, thing)
    if not found:
        return []
    lit = state.slot(thing, "lit").record
    return minutes_since(lit.when if lit else found[0].when, found)


def minutes_since(start: datetime, readings: Sequence[Record]) -> list[tuple[float, float]]:
    """Readings as (minutes since a moment, °C)."""
    return [((r.when - start).total_seconds() / 60, r.body.c) for r in readings]


def _curve(state: State, thing: str, lit_at: datetime | None) -> Curve:
    def more(table: Growing, rows: Sequence[Record]) -> None:
        table.add([(float(to_ms(r.when)), float(r.body.c)) for r in rows])

    read = state.grown(thing, "reading", Growing, more).table
    if not len(read):
        return Curve(read)
    start_ms = to_ms(lit_at) if lit_at is not None else read[0, 0]
    return Curve(np.column_stack([(read[:, 0] - start_ms) / 1000 / 60, read[:, 1]]))


def _soak_start(curve: Curve, soak_c: float) -> int | None:
    """The reading with which the soak began: one in the band with the next one below it is a flicker, and no soak."""
    inside = curve.c >= soak_c - BAND_C
    holds = inside & np.append(inside[1:], True)[: len(inside)]
    return int(holds.argmax()) if holds.any() else None


def charges_in(state: State, thing: str) -> tuple[str, ...]:
    """The charges that were placed in a firing, in the order of placing, and those that went in without a place."""
    placed = [r.subject for r in state.rows(thing, "placed") if r.body.firing == thing]
    moved = [move_of(r) for kind in ("went.in", "came.out") for r in state.rows(thing, kind) if r.body.firing == thing]
    found = dict.fromkeys((*placed, *(c for c in moved if c is not None)))
    return tuple(c for c in found if state.slot(c, "charged").record is not None)


def move_of(record: Record) -> str | None:
    """The one charge that a going in or coming out is about; None when it is about all of them."""
    if record.body.charge is not None:
        return str(record.body.charge)
    return None if record.body.all or record.subject == record.body.firing else record.subject


def answers(state: State, thing: str, phase: str) -> dict[str, Record]:
    """The newest standing answer to each item of a checklist for a thing."""
    return {r.body.item: r for r in state.own(thing, "check.answered") if r.body.list == phase}


def occupied(state: State, firing_id: str) -> dict[tuple[int, int | None, int | None, int | None], str]:
    """Which charge stands where in a firing: (tier, row, column, clock place) to charge.

    One that was placed elsewhere before this fire was lit has left its place.
    """
    found = {}
    lit = state.slot(firing_id, "lit").record is not None
    for charge in charges_in(state, firing_id):
        placed = state.slot(charge, "placed", firing_id).body
        if placed is None:  # it went in without being given a place
            continue
        if lit or state.by_time(charge, "placed")[-1].body.firing == firing_id:
            found[(placed.tier, placed.row, placed.column, placed.clock)] = charge
    return found
