"""A charge: what one crucible holds for one or more firings, where it stands, and whether it may be touched."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal

from bench.records.record import Record
from bench.records.state import State
from bench.records.store import by_time_then_order
from bench.workshop.things.batches import is_damp, is_steady, masses_since, wets
from bench.workshop.things.coolings import cooling_of
from bench.workshop.things.crucibles import charges_before
from bench.workshop.things.jars import lost_g
from bench.workshop.things.residences import Residence, residences_of, surface_reads

ChargeState = Literal["damp", "dry", "placed", "in-heat", "out-hot", "cool", "opened", "lost"]
COOL_C = 40.0
"""Only a reading of that very thing below this clears *too hot to touch* (project default)."""
SUDDEN_FROM_C, SUDDEN_MIN = 150.0, 5.0
"""Nothing in air falls from this to cool in so few minutes (project default): a digit slipped, or it was quenched."""


@dataclass(frozen=True)
class Charge:
    """What one crucible holds. Masses in grams; `dry_g` is the sum of what went in, reckoned dry."""

    id: str
    crucible: str
    crucible_code: str | None
    charged: Any
    state: ChargeState
    damp: bool
    dry_g: float
    lost_g: float
    residences: tuple[Residence, ...]
    surface_c: float | None  # the last reading of this very thing since it was last in the heat
    sudden_from_c: float | None  # what was read just before that, where it cannot have cooled since
    pigment: str | None
    batches: tuple[str, ...]
    cooling_mode: str
    cooling_basis: str
    hot_pull: bool

    @property
    def stay(self) -> Residence | None:
        """The last stay, under way or ended."""
        return self.residences[-1] if self.residences else None

    @property
    def was_hot(self) -> bool:
        return any(s.went_in is not None for s in self.residences)

    @property
    def too_hot_to_touch(self) -> bool:
        """From the heat on, until a reading of this very thing is below 40 °C; after a sudden fall, a second one."""
        return self.was_hot and not is_cool(self.surface_c, self.sudden_from_c)


def is_cool(surface_c: float | None, sudden_from_c: float | None) -> bool:
    """Whether what was read of a thing clears it to be touched."""
    return surface_c is not None and surface_c < COOL_C and sudden_from_c is None


def sudden_from_c(reads: list[Record]) -> float | None:
    """What was read just before a thing read cool, where it cannot have cooled since; else None."""
    if len(reads) < 2 or reads[-1].body.surface_c >= COOL_C or reads[-2].body.surface_c < SUDDEN_FROM_C:
        return None
    short = (reads[-1].when - reads[-2].when).total_seconds() < 60 * SUDDEN_MIN
    return float(reads[-2].body.surface_c) if short else None


def charge(state: State, thing: str) -> Charge | None:
    """The charge, or None when there is no such charge."""
    return state.memoize(("charge", thing), lambda: _charge(state, thing))


def _charge(state: State, thing: str) -> Charge | None:
    charged = state.slot(thing, "charged").body
    if charged is None:
        return None
    residences = residences_of(state, thing)
    damp = charge_is_damp(state, thing, charged, any(stay.went_in is not None for stay in residences))
    reads = surface_reads(state, thing, residences)
    surface, sudden = float(reads[-1].body.surface_c) if reads else None, sudden_from_c(reads)
    opened = state.slot(thing, "opened").record
    mode, basis, hot_pull = cooling_of(state, thing)
    return Charge(
        id=thing,
        crucible=charged.crucible,
        crucible_code=state.code_of(charged.crucible),
        charged=charged,
        state=_state(state, thing, residences, damp, is_cool(surface, sudden), opened),
        damp=damp,
        dry_g=sum(s.g for s in charged.sources),
        lost_g=lost_g(state, thing),
        residences=residences,
        surface_c=surface,
        sudden_from_c=sudden,
        pigment=_powder(state, thing, opened),
        batches=batches_of(state, thing),
        cooling_mode=mode,
        cooling_basis=basis,
        hot_pull=hot_pull,
    )


def _powder(state: State, thing: str, opened: Record | None) -> str | None:
    if opened is not None:
        return state.made(opened)
    return next((r.subject for r in state.gatherings(thing)), None)


def charge_is_damp(state: State, thing: str, charged: Any, was_hot: bool = False) -> bool:
    """Whether a charge must be taken as damp: not dried in its crucible, and filled wet or from what was damp then."""
    if is_steady(masses_since(state, thing, None), was_hot):
        return False
    if charged.wet_g is not None:
        return True
    filled = state.slot(thing, "charged").record
    until = filled.when if filled else None
    return any(_source_damp(state, s.batch, s.pigment, until) for s in charged.sources)


def _source_damp(state: State, batch: str | None, pigment: str | None, until: datetime | None) -> bool:
    if batch is not None:
        return is_damp(state, batch, until)
    return pigment is not None and powder_is_damp(state, pigment, until)


def powder_is_damp(
    state: State, pigment: str, until: datetime | None = None, _seen: frozenset[str] = frozenset()
) -> bool:
    """Whether a fired powder was washed or ground wet and neither weighed dry nor dried to steady mass since.

    What was gathered, or parted off, is damp while a powder that it came from was damp then.
    """
    found = [r for k in ("washed", "ground", "dry.weighed") for r in state.own(pigment, k)]
    found = sorted((r for r in found if until is None or r.when <= until), key=by_time_then_order)
    last = next((r for r in reversed(found) if r.kind == "dry.weighed" or wets(r)), None)
    if last is None and not _gathered_damp(state, pigment, _seen | {pigment}):
        return False
    if last is not None and last.kind == "dry.weighed":
        return False
    return not is_steady(masses_since(state, pigment, last, until), until is not None)


def _gathered_damp(state: State, pigment: str, seen: frozenset[str]) -> bool:
    return any(powder_is_damp(state, one, when, seen) for one, when in _gathered_from(state, pigment, seen))


def _gathered_from(state: State, pigment: str, seen: frozenset[str]) -> list[tuple[str, datetime]]:
    """The powders that one was gathered from or parted off, and when."""
    record = state.slot(pigment, "gathered").record
    sources = [s.pigment for s in record.body.sources if s.pigment is not None] if record is not None else []
    return [(one, record.when) for one in sources if record is not None and one not in seen]


def wet_with(
    state: State, pigment: str, until: datetime | None = None, _seen: frozenset[str] = frozenset()
) -> str | None:
    """The liquid that a fired powder is still wet with; None once it is dry. Rinsing takes no liquid that burns out."""
    if not powder_is_damp(state, pigment, until):
        return None
    found = [
        r for kind in ("ground", "dry.weighed") for r in state.own(pigment, kind) if until is None or r.when <= until
    ]
    found = sorted((r for r in found if r.kind == "dry.weighed" or wets(r)), key=by_time_then_order)
    if found and found[-1].kind == "ground":
        return str(found[-1].body.medium)
    seen = _seen | {pigment}
    earlier = [] if found else _gathered_from(state, pigment, seen)
    liquids = [wet_with(state, one, when, seen) for one, when in earlier]
    return next((one for one in liquids if one not in (None, "water")), "water")


def _state(
    state: State,
    thing: str,
    residences: tuple[Residence, ...],
    damp: bool,
    cool: bool,
    opened: Record | None,
) -> ChargeState:
    if opened is not None:
        return "opened"
    if state.emptied(thing):
        return "lost" if state.own(thing, "closed") else "opened"  # gathered from, when it was not given up
    stay = residences[-1] if residences else None
    if stay is None:
        return "damp" if damp else "dry"
    if stay.went_in is None:
        return "placed"
    if stay.came_out is None and not state.own(stay.firing, "closed"):
        return "in-heat"
    return "cool" if cool else "out-hot"


def batches_of(state: State, thing: str, _seen: frozenset[str] = frozenset()) -> tuple[str, ...]:
    """Every batch that a charge holds some of, through earlier generations too, in the order of filling."""
    body = state.slot(thing, "charged").body
    if body is None or thing in _seen:
        return ()
    found: dict[str, None] = {}
    for source in body.sources:
        if source.batch is not None:
            found[source.batch] = None
        for earlier in charges_before(state, source):
            found |= dict.fromkeys(batches_of(state, earlier, _seen | {thing}))
    return tuple(found)
