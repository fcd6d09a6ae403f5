"""What past firings of a furnace teach: how slow it is, and how long its probe has stood in the heat.

The slope bound of the forecast rests on the slowest time constant that a furnace may have. Each past climb that bends
gives one; the slowest that its readings allow counts, never the best fit, so that the bound stays on the safe side.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import islice
from math import fsum
from statistics import median
from typing import Any

from bench.reckoning.working import Step, step
from bench.records.state import State
from bench.science.curve import Curve
from bench.science.forecast import thinned
from bench.science.heat_work import min_above
from bench.science.plateau import fit
from bench.science.slope_bound import SLOWEST_TAU_MIN
from bench.translation import _
from bench.workshop.heat import curve_of
from bench.workshop.things.firings import Firing, fire_off, firing, minutes_since

ENOUGH_FIRES = 3
STEAM_OVER_C = 150.0
FEWEST = 8
MARGIN = 2.0
"""By so much the slowest that was seen is exceeded: half as much again made a few false verdicts in simulation."""
LEAST_MIN, MOST_MIN = 60.0, 360.0
"""However little or much the climbs allow, the slowest time constant lies between these (our own default)."""
ONE_RATE_C = 3.0
"""A climb that scatters more than this round one exponential goes at more than one rate (our own default)."""
DRIFT_FROM_C = 1000.0
NEWEST = 60
"""So many of the newest fires teach: a furnace is relined and its burner ages (our own default)."""


@dataclass(frozen=True)
class Climb:
    """What one climb tells of the time constant, in minutes: the best, and the shortest and longest that it allows.

    `one_rate`: one exponential describes all of it; else its second half was taken, which may hide a slower rate.
    """

    best_min: float
    low_min: float
    high_min: float
    one_rate: bool


@dataclass(frozen=True)
class Learnt:
    """Time constants learnt from past climbs, in minutes: the middle one and the spread of what they allow.

    `controlled`: a controller made the climbs, so that they tell its rate and not how quick the furnace is.
    """

    climbs: tuple[Climb, ...]
    controlled: bool = False

    @property
    def fires(self) -> int:
        return len(self.climbs)

    @property
    def middle_min(self) -> float | None:
        return median(c.best_min for c in self.climbs) if self.climbs else None

    @property
    def spread_min(self) -> tuple[float, float] | None:
        if not self.climbs:
            return None
        return min(c.low_min for c in self.climbs), max(c.high_min for c in self.climbs)

    @property
    def slowest_min(self) -> float:
        """The slowest time constant to reckon with: 180 min unless three climbs at one rate say less, or any says more.

        A furnace that goes at two rates hides the slower one in its fast climb, so that its climbs never lower it.
        """
        if not self.climbs:
            return SLOWEST_TAU_MIN
        seen = max(c.high_min for c in self.climbs) * MARGIN
        sure = self.fires >= ENOUGH_FIRES and all(c.one_rate for c in self.climbs) and not self.controlled
        return min(max(seen, LEAST_MIN if sure else SLOWEST_TAU_MIN), MOST_MIN)

    @property
    def working(self) -> list[Step]:
        if self.spread_min is None:
            return [step(_("No past climb here tells its time constant: the usual one"), SLOWEST_TAU_MIN, "min")]
        low, high = self.spread_min
        say = _(
            "Time constant of {fires} past climbs, the middle one (they allow {low:.0f} to {high:.0f})",
            fires=self.fires,
            low=low,
            high=high,
        )
        steps = [step(say, self.middle_min, "min", "own-forecast")]
        if self.controlled and self.slowest_min == SLOWEST_TAU_MIN:
            why = _("A controller makes these climbs: the usual slowest one is kept")
            return [*steps, step(why, SLOWEST_TAU_MIN, "min", "own-forecast")]
        if self.slowest_min == SLOWEST_TAU_MIN:
            why = _("Too few climbs at one rate: the usual slowest one is kept")
            return [*steps, step(why, SLOWEST_TAU_MIN, "min", "own-forecast")]
        why = _("Slowest to calculate with: twice what they allow")
        return [*steps, step(why, self.slowest_min, "min", "own-forecast")]


def learnt(state: State, furnace: str, but: str | None = None) -> Learnt:
    """What the newest of the fires that went out in a furnace tell of it; `but` leaves one firing out."""
    return state.memoize(("learnt", furnace, but), lambda: _learnt(state, furnace, but))


def _learnt(state: State, furnace: str, but: str | None) -> Learnt:
    newest = list(islice((thing for thing in _gone_out(state, furnace) if thing != but), NEWEST))
    found = [state.worked_out(thing, "climb", partial(_climb, state, thing)) for thing in reversed(newest)]
    described = state.slot(furnace, "furnace.described").body
    controlled = described is not None and described.fuel == "electric"
    return Learnt(tuple(Climb(*each) for each in found if each is not None), controlled)


def _gone_out(state: State, furnace: str) -> Iterator[str]:
    """The firings of a furnace whose fire went out, newest first: whoever has enough of them asks for no more."""
    for thing in reversed(state.lined_up("firing")):
        if state.exists(thing) and state.worked_out(thing, "burnt-out", partial(_burnt_out, state, thing)) == furnace:
            yield thing


def _burnt_out(state: State, thing: str) -> str | None:
    """The furnace in which a fire went out; None while it burns. Nothing of its readings is looked at."""
    plan = state.slot(thing, "firing.planned").body
    gone = plan is not None and plan.segments and fire_off(state, thing) is not None
    return str(plan.furnace) if gone else None


def _climb(state: State, thing: str) -> list[Any] | None:
    fire = firing(state, thing)
    told = told_by(climb_of(state, fire)) if fire is not None else None
    return None if told is None else [told.best_min, told.low_min, told.high_min, told.one_rate]


def told_by(climb: Sequence[tuple[float, float]]) -> Climb | None:
    """What a climb tells; None where it tells nothing: too few readings, not bent, or open at an end."""
    whole = thinned(climb)
    found = fit(whole) if len(whole) >= FEWEST else None
    one_rate = found is not None and found.scatter_c <= ONE_RATE_C
    if not one_rate:
        half = whole[len(whole) // 2 :]
        found = fit(half) if len(half) >= FEWEST else None
    if found is None or not found.bends or found.open_above or found.open_below:
        return None
    taus = sorted((found.low.tau_min, found.best.tau_min, found.high.tau_min))
    return Climb(found.best.tau_min, taus[0], taus[-1], one_rate)


def climb_of(state: State, fire: Firing) -> Curve:
    """The readings over 150 °C, since the last change of the burner, until the soak began or the fire went out."""
    start = fire.lit_at or (fire.readings[0].when if fire.readings else None)
    if start is None:
        return fire.curve[:0]
    end = min((t for t in (fire.soak_start, fire.off_at) if t is not None), default=None)
    changes = [r.when for r in state.own(fire.id, "noted") if r.body.what == "burner-change"]
    changed = max((c for c in changes if end is None or c < end), default=start)
    low = (changed - start).total_seconds() / 60
    high = (end - start).total_seconds() / 60 if end else float("inf")
    over = curve_of(fire).between(low, high)
    hot = over.c >= STEAM_OVER_C
    return over[int(hot.argmax()) if hot.any() else len(over) :]


def probe_hours(state: State, furnace: str) -> float:
    """Hours that the probe of a furnace has stood over 1000 °C, by the readings of all its firings."""
    burning = state.open_things("firing")
    past_min = state.memoize(("probe", furnace), lambda: _past_min(state, furnace))
    return (past_min + _probe_min(state, furnace, burning)) / 60


def _past_min(state: State, furnace: str) -> float:
    """Of all fires that are closed: this stays as it is while another one burns."""
    burning = set(state.open_things("firing"))
    return _probe_min(state, furnace, [thing for thing in state.things("firing") if thing not in burning])


def _probe_min(state: State, furnace: str, fires: Iterable[str]) -> float:
    found = [state.worked_out(thing, "probe", partial(_probe, state, thing)) for thing in fires]
    return fsum(over_min for burnt_in, over_min in found if burnt_in == furnace)


def _probe(state: State, thing: str) -> list[Any]:
    """Where a fire burnt, and how many minutes its probe stood in the heat."""
    plan = state.slot(thing, "firing.planned").body
    if plan is None or not plan.segments:
        return [None, 0.0]
    if state.is_open("firing", thing) and (fire := firing(state, thing)) is not None:
        return [plan.furnace, min_above(fire.curve, DRIFT_FROM_C) if len(fire.curve) > 1 else 0.0]
    # Nothing of its readings is kept at hand for this: it is asked of every firing there ever was.
    readings = state.by_time(thing, "reading", keep=False)
    if len(readings) < 2:
        return [plan.furnace, 0.0]
    lit = state.slot(thing, "lit").record
    return [plan.furnace, min_above(minutes_since(lit.when if lit else readings[0].when, readings), DRIFT_FROM_C)]
