"""A charge: what one crucible holds for one or more firings, where it stands, and whether it may be touched."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from bench.workshop.kinds import Charged, Placed
from bench.workshop.records import Record
from bench.workshop.state import State
from bench.workshop.things.batches import is_damp, is_steady
from bench.workshop.things.crucibles import earlier_charges
from bench.workshop.things.jars import lost_g

ChargeState = Literal["damp", "dry", "placed", "in-heat", "out-hot", "cool", "opened", "lost"]
COOL_C = 40.0
"""Only a reading of that very thing below this clears *too hot to touch* (project default)."""


@dataclass(frozen=True)
class Stay:
    """One stay of a charge in a furnace. `came_out` is None while it is in; `rest_place` says where it was put."""

    firing: str
    placed: Placed
    went_in: datetime | None
    came_out: datetime | None
    rest_place: str | None


@dataclass(frozen=True)
class Charge:
    """What one crucible holds. Masses in grams; `dry_g` is the sum of what went in, reckoned dry."""

    id: str
    crucible: str
    crucible_code: str | None
    charged: Charged
    state: ChargeState
    damp: bool
    dry_g: float
    lost_g: float
    stays: tuple[Stay, ...]
    surface_c: float | None  # the last reading of this very thing since it was last in the heat
    pigment: str | None
    batches: tuple[str, ...]
    cooling_mode: str
    cooling_basis: str
    hot_pull: bool

    @property
    def stay(self) -> Stay | None:
        """The last stay, under way or ended."""
        return self.stays[-1] if self.stays else None

    @property
    def was_hot(self) -> bool:
        return any(s.went_in is not None for s in self.stays)

    @property
    def too_hot_to_touch(self) -> bool:
        """True from the heat on, until a reading of this very thing is below 40 °C."""
        return self.was_hot and (self.surface_c is None or self.surface_c >= COOL_C)


def charge(state: State, thing: str) -> Charge | None:
    """The charge, or None when there is no such charge."""
    charged = state.slot(thing, "charged").body
    if charged is None:
        return None
    stays = tuple(_stay(state, thing, r) for r in state.own(thing, "placed"))
    damp = charge_is_damp(state, thing, charged)
    surface = _surface_c(state, thing, stays)
    opened = state.slot(thing, "opened").record
    mode, basis, hot_pull = _cooling(state, thing)
    return Charge(
        id=thing,
        crucible=charged.crucible,
        crucible_code=state.code_of(charged.crucible),
        charged=charged,
        state=_state(state, thing, stays, damp, surface, opened),
        damp=damp,
        dry_g=sum(s.g for s in charged.sources),
        lost_g=lost_g(state, thing),
        stays=stays,
        surface_c=surface,
        pigment=None if opened is None else state.made(opened),
        batches=batches_of(state, thing),
        cooling_mode=mode,
        cooling_basis=basis,
        hot_pull=hot_pull,
    )


def charge_is_damp(state: State, thing: str, charged: Charged) -> bool:
    """Whether a charge must be taken as damp: dried in its crucible, or filled dry from what was dry."""
    masses = [r.body.mass_g for r in state.own(thing, "dried") if r.body.mass_g is not None]
    if is_steady(masses):
        return False
    if charged.wet_g is not None:
        return True
    return any(_source_damp(state, s.batch, s.pigment) for s in charged.sources)


def _source_damp(state: State, batch: str | None, pigment: str | None) -> bool:
    if batch is not None:
        return is_damp(state, batch)
    if pigment is not None:
        wetted = [r.order for r in (*state.own(pigment, "washed"), *state.own(pigment, "ground")) if _wet(r)]
        dried = [r.order for r in state.own(pigment, "dry.weighed")]
        return bool(wetted) and (not dried or dried[-1] < wetted[-1])
    return False


def _wet(record: Record) -> bool:
    return record.kind == "washed" or record.body.medium not in ("dry", "none")


def _stay(state: State, thing: str, record: Record) -> Stay:
    placed: Placed = record.body
    firing = placed.firing
    lit = state.slot(firing, "lit").record
    moves_in = [r for r in state.rows(thing, "went.in") if r.body.firing == firing and r.body.charge in (thing, None)]
    starts = [r.when for r in moves_in] or ([lit.when] if lit is not None else [])
    out = _came_out(state, thing, firing)
    # A placing before the fire goes in with it; one made while it burns goes in at that moment.
    went_in = max(starts[0], record.when) if starts and not moves_in else (starts[0] if starts else None)
    return Stay(
        firing=firing,
        placed=placed,
        went_in=went_in,
        came_out=out.when if out else None,
        rest_place=out.body.rest_place if out else None,
    )


def _came_out(state: State, thing: str, firing: str) -> Record | None:
    own = [r for r in state.rows(thing, "came.out") if r.body.firing == firing and r.body.charge == thing]
    if own:
        return own[-1]
    together = [r for r in state.rows(firing, "came.out") if r.body.firing == firing and r.body.all]
    return together[0] if together else None


def _surface_c(state: State, thing: str, stays: tuple[Stay, ...]) -> float | None:
    heat = [s.came_out or s.went_in for s in stays if s.went_in is not None]
    last_heat = max((h for h in heat if h is not None), default=None)
    read = [r for r in state.rows(thing, "touched") if r.body.thing == thing]
    fresh = [r for r in read if last_heat is None or r.when >= last_heat]
    return fresh[-1].body.surface_c if fresh else None


def _state(
    state: State, thing: str, stays: tuple[Stay, ...], damp: bool, surface_c: float | None, opened: Record | None
) -> ChargeState:
    if opened is not None:
        return "opened"
    closed = state.slot(thing, "closed").body
    if closed is not None:
        return "lost"
    stay = stays[-1] if stays else None
    if stay is None:
        return "damp" if damp else "dry"
    if stay.went_in is None:
        return "placed"
    if stay.came_out is None and not state.own(stay.firing, "closed"):
        return "in-heat"
    return "cool" if surface_c is not None and surface_c < COOL_C else "out-hot"


def batches_of(state: State, thing: str, _seen: frozenset[str] = frozenset()) -> tuple[str, ...]:
    """Every batch that a charge holds some of, through earlier generations too, in the order of filling."""
    body = state.slot(thing, "charged").body
    if body is None or thing in _seen:
        return ()
    found: dict[str, None] = {}
    for source in body.sources:
        if source.batch is not None:
            found[source.batch] = None
        for earlier in earlier_charges(state, source.pigment):
            found |= dict.fromkeys(batches_of(state, earlier, _seen | {thing}))
    return tuple(found)


COOLING_WORSE = ("unknown", "controlled", "slow", "in-furnace", "either", "fast", "quench-water")


def _cooling(state: State, thing: str) -> tuple[str, str, bool]:
    """The cooling that all batches of a charge allow: the gentlest of theirs, and unknown when one of them has none."""
    plans = [state.slot(b, "batch.planned").body for b in batches_of(state, thing)]
    known = [p for p in plans if p is not None]
    if not known:
        return "unknown", "unknown", False
    worst = min(known, key=lambda p: COOLING_WORSE.index(p.cooling_mode))
    return worst.cooling_mode, worst.cooling_basis, all(p.hot_pull for p in known)
