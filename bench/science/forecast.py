"""The forecast of a firing, in the order of how sure it is: a fact, a verdict, an interval, a time.

The fact rests on the readings alone (`standstill`), the verdict on the slope bound (`slope_bound`), interval and time
on the newest bend (`heading`). Each is left out where nothing supports it; no single temperature is ever promised.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from bench.science.heading import Arrival, Heading, arrival, heading
from bench.science.slope_bound import FIRST_VERDICT_READING, SLOWEST_TAU_MIN, Call, Track
from bench.science.standstill import Standstill, standstill
from bench.translation import _

MOST_READINGS: Final = 1000
THIN_MIN: Final = 0.5
SMALL_RISE_C: Final = 2.0
"""A standstill that rose by more than this between its two levels is said as a small rise."""

Readings = Sequence[tuple[float, float]]


class Verdict(StrEnum):
    """What is said about the target."""

    WILL_REACH = "will-reach"
    WILL_NOT_REACH = "will-not-reach"
    CANNOT_SAY_YET = "cannot-say-yet"


@dataclass(frozen=True)
class Forecast:
    """What the readings say: °C, minutes on the clock of the readings, None where nothing can be said."""

    target_c: float
    verdict: Verdict
    call: Call
    fact: Standstill | None
    low_c: float | None
    high_c: float | None
    early_min: float | None
    late_min: float | None
    bound_c: float | None
    slope_c_min: float | None
    falls: bool
    dose_c_min: float
    count: int
    """Readings used: those since the start or since the last change."""
    last_min: float | None

    def say(self) -> str:
        """The forecast in a few sentences."""
        return sentences(self)


def forecast(
    readings: Readings,
    target_c: float,
    slowest_tau_min: float = SLOWEST_TAU_MIN,
    changed_at_min: float | None = None,
    carbonate: bool = True,
    dry: bool = False,
) -> Forecast:
    """The forecast from (minute, °C) readings since lighting, in the order of time.

    `slowest_tau_min` is the slowest time constant that the furnace may have at the target, 180 min unless past firings
    say better. After a logged change of the burner, or at the start of a programmed segment, only the readings from
    `changed_at_min` on are judged; but a target once read stays reached. `carbonate` is False only where the load is
    known to hold none that goes late, `dry` True only where load and lining are known to hold no water.
    """
    track = Track(thinned(readings), slowest_tau_min, carbonate, dry, changed_at_min)
    reached_min = minute_reached(readings, target_c)
    call = Call.REACHED if reached_min is not None else track.call(target_c)
    newest = track.lines[-1] if track.lines else None
    silent = not track.used or call is Call.REACHED
    ahead = None if silent else _heading(track, target_c, call)
    when = None if silent or call is Call.STALLED else arrival(track, target_c)
    if reached_min is not None:
        when = Arrival(reached_min, reached_min)
    return Forecast(
        target_c=target_c,
        verdict=_verdict(call, when),
        call=call,
        fact=None if silent else standstill(track.used, target_c),
        low_c=ahead.low_c if ahead else None,
        high_c=ahead.high_c if ahead else None,
        early_min=when.early_min if when else None,
        late_min=when.late_min if when else None,
        bound_c=_at_most_c(track, target_c, call, ahead),
        slope_c_min=newest.slope_c_min if newest else None,
        falls=newest is not None and newest.falls,
        dose_c_min=track.doses[-1] if track.doses else 0.0,
        count=len(track.used),
        last_min=readings[-1][0] if readings else None,
    )


def thinned(readings: Readings) -> Readings:
    """Up to a thousand readings as they are; of more, the mean of every half minute, so that a logger is no burden."""
    if len(readings) <= MOST_READINGS:
        return readings
    groups: list[list[tuple[float, float]]] = []
    for reading in readings:
        if groups and reading[0] - groups[-1][0][0] < THIN_MIN:
            groups[-1].append(reading)
        else:
            groups.append([reading])
    return [(sum(m for m, _ in group) / len(group), sum(c for _, c in group) / len(group)) for group in groups]


def minute_reached(readings: Readings, target_c: float) -> float | None:
    """The minute when the target was first crossed, on the straight line to the first reading at it, or None."""
    before: tuple[float, float] | None = None
    for minute, c in readings:
        if c >= target_c:
            if before is None:
                return minute
            return before[0] + (minute - before[0]) * (target_c - before[1]) / (c - before[1])
        before = (minute, c)
    return None


def _verdict(call: Call, when: Arrival | None) -> Verdict:
    """Reached, or a later time is known: it gets there. Stalled by the slope bound: it does not. Else nothing."""
    if call is Call.STALLED:
        return Verdict.WILL_NOT_REACH
    sure = call is Call.REACHED or (when is not None and when.late_min is not None)
    return Verdict.WILL_REACH if sure else Verdict.CANNOT_SAY_YET


def _heading(track: Track, target_c: float, call: Call) -> Heading | None:
    """The interval; none that holds the target beside a verdict that it is out of reach."""
    found = heading(track, target_c)
    return None if found is not None and call is Call.STALLED and found.high_c >= target_c else found


def _at_most_c(track: Track, target_c: float, call: Call, ahead: Heading | None) -> float | None:
    """The most that can still come. Beside an interval, a stall's bound is never less than the interval's end."""
    if call is not Call.STALLED:
        return track.bound_c(target_c)
    bound_c = track.stall_bound_c(target_c)
    return max(bound_c, ahead.high_c) if bound_c is not None and ahead is not None else bound_c


def sentences(found: Forecast) -> str:
    """Fact, verdict, interval and time, each a plain sentence, as far as they can be said."""
    if found.call is Call.REACHED:
        return _(
            "{target_c:.0f} °C was reached at {early_min:.0f} min.", target_c=found.target_c, early_min=found.early_min
        )
    parts = [_fact(found), _said(found), _interval(found), _time(found)]
    return " ".join(part for part in parts if part)


def _fact(found: Forecast) -> str:
    fact = found.fact
    if fact is None:
        return ""
    levels = _(
        "{then_c:.0f} °C then, {now_c:.0f} °C now; the plan wants {target_c:.0f} °C.",
        then_c=fact.then_c,
        now_c=fact.now_c,
        target_c=found.target_c,
    )
    if fact.fell_c > 0:
        return _(
            "Has fallen {fell_c:.0f} °C since its highest, {minutes:.0f} min ago: {levels}",
            fell_c=fact.fell_c,
            minutes=fact.minutes,
            levels=levels,
        )
    rise_c = round(fact.now_c) - round(fact.then_c)
    if rise_c > SMALL_RISE_C:
        return _(
            "Has risen only {rise_c} °C in {minutes:.0f} min: {levels}",
            rise_c=rise_c,
            minutes=fact.minutes,
            levels=levels,
        )
    return _("Has not risen for {minutes:.0f} min: {levels}", minutes=fact.minutes, levels=levels)


def _said(found: Forecast) -> str:
    target = f"{found.target_c:.0f} °C"
    if found.verdict is Verdict.WILL_NOT_REACH:
        why = (
            _falling(found)
            if found.falls
            else _("At this slope it reaches {bound_c:.0f} °C at most.", bound_c=found.bound_c)
        )
        return _("{target} will not be reached unless something is changed. {why}", target=target, why=why)
    if found.verdict is Verdict.WILL_REACH:
        return ""
    return _("It cannot be said yet whether {target} will be reached: {why}.", target=target, why=_why(found))


def _falling(found: Forecast) -> str:
    return _("It is falling by {slope:.1f} °C a minute.", slope=-(found.slope_c_min or 0.0))


def _why(found: Forecast) -> str:
    if found.call is Call.TOO_FEW:
        if found.count >= FIRST_VERDICT_READING:
            return _("the readings lie too close together in time")
        return _(
            "{count} of eight readings are there since the start or the last change",
            count=found.count,
        )
    reasons = {
        Call.STEAM: _("water may still be leaving"),
        Call.DIPPED: _("a lid or a door was open"),
        Call.CARBONATE: _("carbonate in the load may delay the furnace an hour or more"),
        Call.STEADY: _("it climbs steadily at {slope:.1f} °C a minute", slope=found.slope_c_min or 0.0),
        Call.BELOW: _("too few readings agree so far"),
    }
    return reasons.get(found.call, "its slope may still lead there")


def _interval(found: Forecast) -> str:
    if found.low_c is None or found.high_c is None:
        return ""
    return _("Heading for {low_c:.0f} to {high_c:.0f} °C if nothing changes.", low_c=found.low_c, high_c=found.high_c)


def _time(found: Forecast) -> str:
    if found.early_min is None or found.last_min is None:
        return ""
    target, early = f"{found.target_c:.0f} °C", found.early_min - found.last_min
    if found.late_min is None:
        return _("{target} not before {early:.0f} minutes from now.", target=target, early=early)
    return _(
        "{target} in {early:.0f} to {late:.0f} minutes if nothing changes.",
        target=target,
        early=early,
        late=found.late_min - found.last_min,
    )
