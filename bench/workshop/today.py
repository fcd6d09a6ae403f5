"""Today: what is under way, what is hot, and what is counting down."""

from dataclasses import dataclass, replace
from datetime import datetime

from bench.records.moments import instant
from bench.records.record import BENCH, Record
from bench.records.state import State
from bench.workshop.flags import Flag, broken_with
from bench.workshop.next_steps import NextStep, batch_step, charge_step, firing_step, pigment_step
from bench.workshop.things.charges import Charge, charge
from bench.workshop.things.firings import Firing, fire_off, firing

LONGEST_MIN = 48 * 60
"""A timer that ended longer ago than this is not shown any more."""
DIFFER = ("batch", "charge", "firing", "pigment")
MOST = 50
"""Of so many open things of a sort, the newest, it is said that two records disagree."""
TIMED = ("firing", "charge", "batch", "pigment", "swatch")


@dataclass(frozen=True)
class Timer:
    """A countdown to an absolute end. `left_min` is negative once it has ended."""

    record: Record
    purpose: str
    thing: str
    ends_at: datetime
    left_min: float


@dataclass(frozen=True)
class Today:
    """The start page's content, each list in the order in which it is shown."""

    firings: tuple[Firing, ...]
    hot: tuple[Charge, ...]
    timers: tuple[Timer, ...]
    steps: tuple[NextStep, ...]
    broken: tuple[tuple[Charge, tuple[Flag, ...]], ...] = ()
    """What was done against a rule with a charge that is still in its crucible."""
    differ: tuple[str, ...] = ()
    """Things under way of which two records disagree."""


def today(state: State, now: datetime) -> Today:
    """What the maker has under way. Looks only at things that are not closed."""
    found = state.memoize("today", lambda: _under_way(state))
    return replace(found, timers=tuple(timers(state, now)))


def is_dangerous(state: State) -> bool:
    """Whether anything burns or is too hot to touch. Reads no more than that needs: every page asks it."""
    return state.memoize("dangerous", lambda: _burns(state) or _is_hot(state))


def _burns(state: State) -> bool:
    lit = [t for t in state.open_things("firing") if state.slot(t, "lit").record is not None]
    return any(fire_off(state, thing) is None for thing in lit)


def _is_hot(state: State) -> bool:
    views = (charge(state, thing) for thing in state.open_things("charge"))
    return any(one is not None and one.too_hot_to_touch for one in views)


def _under_way(state: State) -> Today:
    """As `today`, without what depends on the moment."""
    firings = [f for f in (firing(state, t) for t in state.open_things("firing")) if f is not None]
    charges = [c for c in (charge(state, t) for t in state.open_things("charge")) if c is not None]
    steps = [batch_step(state, t) for t in state.open_things("batch")]
    steps += [charge_step(state, c.id) for c in charges if _waits_outside(c)]
    steps += [pigment_step(state, t) for t in state.open_things("pigment")]
    steps += [firing_step(state, f.id) for f in firings if not f.burning]
    return Today(
        firings=tuple(f for f in firings if f.burning),
        hot=tuple(c for c in charges if c.too_hot_to_touch and not _in_fire(c, firings)),
        timers=(),
        steps=tuple(s for s in steps if s is not None),
        broken=tuple((c, flags) for c in charges if (flags := tuple(broken_with(state, c)))),
        differ=tuple(t for what in DIFFER for t in state.open_things(what)[-MOST:] if state.disagreements(t)),
    )


def _waits_outside(view: Charge) -> bool:
    # What stands in a furnace is shown by its firing, unless it must be dried before that.
    return view.state not in ("placed", "in-heat") or (view.state == "placed" and view.damp)


def _in_fire(view: Charge, firings: list[Firing]) -> bool:
    # What stands in a burning furnace is shown there; once the fire is out it is hot like what was taken out.
    return view.state == "in-heat" and any(f.burning and view.stay and f.id == view.stay.firing for f in firings)


def timers(state: State, now: datetime) -> list[Timer]:
    """The timers that run or ended within two days and were not undone, the next to end first."""
    things = [
        BENCH,
        *(t for w in TIMED for t in state.timed_things(w)),
    ]
    found = [_timer(r, now) for thing in things for r in state.own(thing, "timer.set")]
    return sorted((t for t in found if t.left_min > -LONGEST_MIN), key=lambda t: t.ends_at)


def _timer(record: Record, now: datetime) -> Timer:
    ends = instant(record.body.ends_at, "ends_at")
    return Timer(record, record.body.purpose, record.subject, ends, (ends - now).total_seconds() / 60)
