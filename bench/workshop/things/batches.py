"""A batch: its plan, what was weighed of it, and where it stands."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from bench.records.kinds import BatchPlanned, Line
from bench.records.moments import to_ms
from bench.records.record import Record
from bench.records.state import State
from bench.records.store import by_time_then_order
from bench.science.dry_oxides import stays_dry
from bench.steps.named import STEADY_MIN, steady
from bench.workshop.things.jars import lost_g

BatchState = Literal["planned", "weighing", "weighed", "mixed", "used-up", "closed", "failed"]
AIR_SHARE = 2.2
"""The most that a gram of a common powder becomes in air (project default): silicon to silica is 2.14."""
EMPTY_FRACTION = 0.005
DRY_MEDIA = ("dry", "none")
ENOUGH_MASSES = 2
"""So many weighings say by themselves whether a thing is dry."""


@dataclass(frozen=True)
class BatchLine:
    """One reagent of a batch, planned and weighed. Masses in grams."""

    plan: Line
    target_g: float  # after any rescaling
    weighed: Record | None
    disagrees: bool

    @property
    def weighed_g(self) -> float | None:
        return self.weighed.body.net_g if self.weighed is not None else None


@dataclass(frozen=True)
class Batch:
    """One weighed and mixed composition."""

    id: str
    code: str | None
    plan: BatchPlanned
    lines: tuple[BatchLine, ...]
    state: BatchState
    damp: bool  # false only after two equal masses since the last wetting
    weighed_g: float
    loaded_g: float
    lost_g: float
    charges: tuple[str, ...]

    @property
    def name(self) -> str:
        return self.plan.name

    @property
    def left_g(self) -> float:
        return self.weighed_g - self.loaded_g - self.lost_g

    @property
    def next_line(self) -> BatchLine | None:
        """The first line that is not weighed yet."""
        return next((line for line in self.lines if line.weighed is None), None)


def batch(state: State, thing: str) -> Batch | None:
    """The batch, or None when there is no such batch."""
    return state.memoize(("batch", thing), lambda: _batch(state, thing))


def _batch(state: State, thing: str) -> Batch | None:
    plan = state.slot(thing, "batch.planned").body
    if plan is None:
        return None
    lines = _lines(state, thing, plan)
    weighed = sum(line.weighed_g or 0.0 for line in lines)
    fills = state.effective_records(thing, "charged")
    charges = tuple(r.subject for r in fills if _share_g(r, thing) > 0)
    loaded = sum(_share_g(r, thing) for r in fills)
    lost = lost_g(state, thing)
    return Batch(
        id=thing,
        code=state.code_of(thing),
        plan=plan,
        lines=lines,
        state=_state(state, thing, lines, weighed, loaded + lost),
        damp=is_damp(state, thing),
        weighed_g=weighed,
        loaded_g=loaded,
        lost_g=lost,
        charges=charges,
    )


def _lines(state: State, thing: str, plan: BatchPlanned) -> tuple[BatchLine, ...]:
    targets = _targets_g(state, thing, plan)
    found = []
    for line, target in zip(plan.lines, targets, strict=True):
        slot = state.slot(thing, "weighed", line.line)
        found.append(BatchLine(line, target, slot.record, slot.disagrees))
    return tuple(found)


def _targets_g(state: State, thing: str, plan: BatchPlanned) -> list[float]:
    targets = [line.target_g for line in plan.lines]
    for record in state.own(thing, "rescaled"):
        if len(record.body.targets_g) == len(targets):
            targets = list(record.body.targets_g)
    return targets


def _share_g(charged: Record, batch_id: str) -> float:
    return float(sum(s.g for s in charged.body.sources if s.batch == batch_id))


def _state(state: State, thing: str, lines: tuple[BatchLine, ...], weighed_g: float, gone_g: float) -> BatchState:
    closed = state.slot(thing, "closed").body
    if closed is not None:
        return "failed" if closed.outcome == "failed" else "closed"
    done = [line.weighed is not None for line in lines]
    if not any(done):
        return "planned"
    if not all(done):
        return "weighing"
    if gone_g > 0 and weighed_g - gone_g <= max(0.02, EMPTY_FRACTION * weighed_g):
        return "used-up"
    return "mixed" if state.own(thing, "mixed") else "weighed"


def wets(record: Record) -> bool:
    """Whether a mixing, grinding or washing wetted the powder. Mixing it dry did not."""
    return record.kind == "washed" or record.body.medium not in DRY_MEDIA


def is_damp(state: State, thing: str, until: datetime | None = None) -> bool:
    """Whether a batch must be taken as damp: true until two equal masses since it was last wetted.

    What was only mixed dry, of what takes up no water, is dry, unless two masses show otherwise. What counts is when
    it happened, not when it was entered. `until` asks how it was at that moment.
    """
    mixed = _till(state.by_time(thing, "mixed"), until)
    wetted = [r for r in mixed if wets(r)]
    masses = masses_since(state, thing, wetted[-1] if wetted else None, until)
    if mixed and not wetted and len(masses) < ENOUGH_MASSES and keeps_dry(state, thing):
        return False
    return not is_steady(masses, until is not None)


def keeps_dry(state: State, thing: str) -> bool:
    """Whether nothing in a batch takes up water: oxides that do not, each out of a jar of which the form is known."""
    plan = state.slot(thing, "batch.planned").body
    return plan is not None and bool(plan.lines) and all(_keeps_dry(state, line) for line in plan.lines)


def _keeps_dry(state: State, line: Line) -> bool:
    opened = state.slot(line.jar, "jar.opened").body if line.jar else None
    return stays_dry(line.formula) and (opened is None or opened.hydrate_known)


def masses_since(state: State, thing: str, wetted: Record | None, until: datetime | None = None) -> list[Record]:
    """The dryings of a thing since a wetting that have a mass, oldest first."""
    dried = _till(state.by_time(thing, "dried"), until)
    after = [r for r in dried if wetted is None or by_time_then_order(r) > by_time_then_order(wetted)]
    return [r for r in after if r.body.mass_g is not None]


def dish_g(dried: Sequence[Record]) -> float | None:
    """What the dish of some dryings weighs empty, by the last that says it; None where none does."""
    said = [r.body.tare_g for r in dried if r.body.mass_g is not None and r.body.tare_g is not None]
    return said[-1] if said else None


def _till(records: list[Record], until: datetime | None) -> list[Record]:
    return [r for r in records if until is None or r.when <= until]


def is_steady(weighed: Sequence[Record], done: bool = False) -> bool:
    """Whether some weighings, oldest first, show a thing dry: two masses that agree, an hour apart.

    `done` asks of a time at which something was done with it. What was recorded while no page asked
    for that hour stands as it was taken: a filling of then is not called damp later. What waits is weighed again.
    """
    apart = (weighed[-1].body.apart_min or 0.0) if done and weighed else STEADY_MIN
    masses_ms = [to_ms(one.when) for one in weighed]
    return bool(steady([one.body.mass_g for one in weighed], masses_ms, apart))


def most_share(plan: BatchPlanned) -> float:
    """The most that a gram of a mixture can leave in the fire, with oxygen from air."""
    of_g = sum(line.target_g for line in plan.lines)
    if plan.fired_g is None or not plan.target_formula or of_g <= 0:
        return AIR_SHARE
    # A metal gains: of a jar that holds more of it than was assumed, by as much more.
    purest = min([line.assay_pct for line in plan.lines if line.assay_pct > 0], default=100.0)
    return max(1.0, plan.fired_g / of_g / min(1.0, purest / 100))
