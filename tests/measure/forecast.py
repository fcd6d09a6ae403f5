"""`--forecast`: what the forecast says of simulated firings, whose truth is known, on a seed that set nothing.

Every sentence is judged where it stands: a false verdict counts at any reading of a firing, not only at its end, and an
interval counts at each reading that has one. The rules were set on other seeds.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from statistics import median
from typing import Final

import numpy as np

from bench.science.heading import USELESS_C, arrival, heading
from bench.science.slope_bound import FIRST_VERDICT_READING, SLOWEST_TAU_MIN, Call, Track
from bench.science.standstill import USEFUL_MIN, standstill
from tests.measure.figure import Figure
from tests.measure.firings import FAMILIES, WATCHED_MIN, Firing, firings
from tests.measure.slices import FAMILIES as SLICED
from tests.measure.slices import conducting, drifting

NAME = "forecast"
SEED: Final = 20_261_202
"""Kept for the last run: nothing was set or tried on it."""
RUNS: Final = 560
"""Firings drawn for each of the eight families: more than 2,000 of them reach their target."""
SLICED_RUNS: Final = 200
INTERVAL_RUNS: Final = 240
"""Intervals are looked at in so many of them, at every second reading, for time."""

SHORT_C: Final = 25.0
FACT_WITHIN_MIN: Final = 45.0
LEARNT_PART: Final = 2.0
CONTROLLED: Final = ("ramp", "ageing")
"""Of these nothing is learnt: a controller makes their climbs."""
ROUNDED_C: Final = 0.5


@dataclass
class Verdicts:
    """How often *will not reach* was said of firings that reach, and when of those that stall 25 °C or more short."""

    reaching: int = 0
    false: int = 0
    short: int = 0
    called_min: list[float] | None = None

    def add(self, firing: Firing, tau_min: float = SLOWEST_TAU_MIN) -> None:
        """Count one firing."""
        said = called_at_min(firing, tau_min)
        if firing.reached_min is not None:
            self.reaching += 1
            self.false += said is not None
        elif firing.target_c - firing.peak_c >= SHORT_C:
            self.short += 1
            self.called_min = [*(self.called_min or []), *([said] if said is not None else [])]


def called_at_min(firing: Firing, tau_min: float) -> float | None:
    """The minute at which *will not reach* is first said once it counts, or None."""
    track = Track(firing.readings, tau_min, changed_at_min=firing.changed_min)
    said = zip(track.used, track.calls(firing.target_c), strict=True)
    return next((m for (m, _), call in said if call is Call.STALLED and m >= firing.judged_from_min), None)


@dataclass
class Facts:
    """How often the standstill was said, was untrue, or was said of a useful climb; and how soon after a plateau."""

    said: int = 0
    untrue: int = 0
    useful: int = 0
    plateaus: int = 0
    in_time: int = 0

    def add(self, firing: Firing) -> None:
        """Count one firing, at each reading from the fifth on."""
        since = int(np.ceil(firing.free_min))
        at_peak = since + int(np.argmax(firing.truth[since:] >= firing.peak_c - 4))
        spoken: dict[float, bool] = {}
        for taken in _prefixes(firing, 5, 1):
            now = taken[-1][0]
            if now < firing.free_min or (firing.reached_min is not None and now >= firing.reached_min):
                continue
            found = standstill(taken, firing.target_c)
            spoken[now] = found is not None
            if found is not None:
                self.said += 1
                rose = firing.truth[int(now)] - firing.truth[max(int(now - found.minutes), 0)]
                self.untrue += bool(rose > found.give_c + 2)
                self.useful += firing.reached_min is not None and firing.reached_min - now <= USEFUL_MIN
        if _stands(firing, at_peak):
            self.plateaus += 1
            after = sorted(minute for minute in spoken if minute >= at_peak)
            self.in_time += any(spoken[m] for m in [m for m in after if m <= at_peak + FACT_WITHIN_MIN] or after[:1])


def _stands(firing: Firing, at_peak: int) -> bool:
    """A plateau short of the target, undisturbed for 45 min."""
    if firing.reached_min is not None or firing.target_c - firing.peak_c < SHORT_C:
        return False
    flat = firing.truth[at_peak : at_peak + int(FACT_WITHIN_MIN) + 1]
    return at_peak >= 25 and at_peak + 60 <= WATCHED_MIN and float(np.ptp(flat)) <= 8


@dataclass
class Intervals:
    """How often *heading for* was said, held, and how wide it was; and the same of the times."""

    looked: int = 0
    widths: list[float] | None = None
    held: int = 0
    times: int = 0
    too_late: int = 0
    two_sided: int = 0
    times_held: int = 0

    def add(self, firing: Firing) -> None:
        """Count one firing, at every second reading from the eighth on, up to the target."""
        for taken in _prefixes(firing, FIRST_VERDICT_READING, 2):
            now = taken[-1][0]
            if firing.reached_min is not None and now >= firing.reached_min:
                break
            if now >= firing.free_min + 15:
                self._look(firing, Track([*_before(firing), *taken], changed_at_min=firing.changed_min), int(now))

    def _look(self, firing: Firing, track: Track, now: int) -> None:
        self.looked += 1
        found, when = heading(track, firing.target_c), arrival(track, firing.target_c)
        if found is not None:
            truth = float(firing.truth[now:].max())
            self.widths = [*(self.widths or []), found.high_c - found.low_c]
            self.held += found.low_c - ROUNDED_C <= truth <= found.high_c + ROUNDED_C
        if when is not None:
            at = firing.reached_min if firing.reached_min is not None else float("inf")
            self.times += 1
            self.too_late += at < when.early_min
            if when.late_min is not None:
                self.two_sided += 1
                self.times_held += when.early_min <= at <= when.late_min


def _before(firing: Firing) -> list[tuple[float, float]]:
    return [one for one in firing.readings if firing.changed_min is not None and one[0] < firing.changed_min]


def _prefixes(firing: Firing, first: int, every: int) -> Iterator[list[tuple[float, float]]]:
    """The judged readings as they grew."""
    used = firing.readings[len(_before(firing)) :]
    return (used[:count] for count in range(first, len(used) + 1, every))


def run(runs: int = RUNS, seed: int = SEED) -> list[Figure]:
    """All figures; some minutes at the usual number of runs."""
    verdicts, learnt, facts, figures = Verdicts(), Verdicts(), Facts(), []
    for family in FAMILIES:
        some = firings(family, runs, seed)
        for one in some:
            verdicts.add(one)
            facts.add(one)
            if one.tau_min is not None and family not in CONTROLLED:
                learnt.add(one, LEARNT_PART * one.tau_min)
        figures += _intervals(family, some[:INTERVAL_RUNS])
    sliced_runs = max(1, SLICED_RUNS * runs // RUNS)
    sliced = [one for family in SLICED for one in firings(family, sliced_runs, seed, conducting)]
    other = Verdicts()
    for one in sliced:
        other.add(one)
        facts.add(one)
    figures += _intervals("ninth structure, slices", sliced)
    swung = [one for family in SLICED[:-1] for one in firings(family, max(1, sliced_runs // 2), seed, drifting)]
    return [
        *_verdicts(verdicts, other, learnt),
        *_facts(facts),
        *figures,
        *_drift(swung),
    ]


def _verdicts(eight: Verdicts, ninth: Verdicts, learnt: Verdicts) -> list[Figure]:
    called = eight.called_min or []
    return [
        _none(f"false *will not reach*, of {eight.reaching:,} firings that reach", eight.false),
        _none(f"the same, ninth structure, of {ninth.reaching}", ninth.false),
        _none(f"the same, six families, twice their own time constant, of {learnt.reaching:,}", learnt.false),
        Figure(f"stalls 25 °C or more short called in 7 h, of {eight.short}", _part(len(called), eight.short), "%"),
        Figure("median until called, where called", median(called) if called else None, "min"),
    ]


def _facts(facts: Facts) -> list[Figure]:
    in_time = _part(facts.in_time, facts.plateaus)
    return [
        _at_least(f"the fact within 45 min of an undisturbed plateau, of {facts.plateaus}", in_time, 98),
        Figure(
            f"facts while the curve crept up by more than they give, of {facts.said:,}",
            _part(facts.untrue, facts.said),
            "%",
        ),
        Figure("facts within the hour before the target was read", _part(facts.useful, facts.said), "%"),
    ]


def _intervals(name: str, some: Iterable[Firing]) -> list[Figure]:
    found = Intervals()
    for one in some:
        found.add(one)
    widths = found.widths or []
    said, held = _part(len(widths), found.looked), _part(found.held, len(widths))
    widest = max(widths, default=None)
    return [
        _at_least(f"{name}: heading said, of {found.looked:,} readings", said, 5),
        _at_least(f"{name}: heading holds", held, 90),
        Figure(f"{name}: median width", median(widths) if widths else None, "°C"),
        Figure(
            f"{name}: widest", widest, "°C", f"at most {USELESS_C:g}", None if widest is None else widest <= USELESS_C
        ),
        Figure(f"{name}: *not before* was too late", _part(found.too_late, found.times), "%"),
        Figure(f"{name}: *between* holds, of {found.two_sided}", _part(found.times_held, found.two_sided), "%"),
    ]


def _drift(some: Iterable[Firing]) -> list[Figure]:
    """A burner that drifts by itself is no furnace left alone: what the intervals are worth then."""
    found = Intervals()
    for one in some:
        found.add(one)
    held = _part(found.held, len(found.widths or []))
    note = "no goal: no rule can know it, so the sentence says *if nothing changes*"
    return [Figure("a burner that swings by up to 5 %: heading holds", held, "%", note=note)]


def _part(some: int, all_of_them: int) -> float | None:
    return 100 * some / all_of_them if all_of_them else None


def _none(name: str, count: int) -> Figure:
    return Figure(name, count, "firings", "0", count == 0)


def _at_least(name: str, percent: float | None, goal: float) -> Figure:
    return Figure(name, percent, "%", f"at least {goal:g}", None if percent is None else percent >= goal)
