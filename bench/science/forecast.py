"""The forecast of a firing: what it is heading for, whether the target will be reached, and when.

The plateau fit tells where the curve is heading and when it gets there; the slope bound alone may say "will not reach".
"Will reach" is said when the target was read, or when the whole 95 % interval lay above it at three readings running
and in the second half of the readings alone, and half of the way was done. Between the two nothing is promised.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from bench.science.plateau import Plateau, fit
from bench.science.slope_bound import FIRST_VERDICT_READING, RUNNING, SLOWEST_TAU_MIN, Call, Track
from bench.science.slope_line import line

SOON_MIN: Final = 20.0
MOST_READINGS: Final = 1000
THIN_MIN: Final = 0.5

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
    heading_c: float | None
    low_c: float | None
    high_c: float | None
    early_min: float | None
    late_min: float | None
    bound_c: float | None
    slope_c_min: float | None
    falls: bool
    bent_at_min: float | None
    count: int
    """Readings used: those since the start or since the last change."""
    last_min: float | None

    def say(self) -> str:
        """The forecast in one sentence."""
        return sentence(self)


def forecast(
    readings: Readings,
    target_c: float,
    slowest_tau_min: float = SLOWEST_TAU_MIN,
    changed_at_min: float | None = None,
    carbonate: bool = True,
) -> Forecast:
    """The forecast from (minute, °C) readings in the order of time.

    `slowest_tau_min` is the slowest time constant that the furnace may have, 120 min unless past firings say better.
    After a logged change of the burner, or at the start of a programmed segment, only the readings from
    `changed_at_min` on count; but a target once read stays reached. `carbonate` is False only where the load is known
    to hold none.
    """
    used = thinned([reading for reading in readings if changed_at_min is None or reading[0] >= changed_at_min])
    track = Track(used, slowest_tau_min, carbonate)
    reached_min = minute_reached(readings, target_c)
    call = Call.REACHED if reached_min is not None else track.call(target_c)
    silent = call in (Call.STEAM, Call.CARBONATE, Call.BENT)
    plateau = None if silent else fit(used)
    verdict = _verdict(call, used, plateau, target_c)
    early_min, late_min = (
        (reached_min, reached_min) if reached_min is not None else _when(plateau, verdict, target_c, used)
    )
    shown = plateau if plateau is not None and plateau.bends else None
    newest = track.lines[-1] if track.lines else None
    return Forecast(
        target_c=target_c,
        verdict=verdict,
        call=call,
        heading_c=shown.best.end_c if shown else None,
        low_c=None if shown is None or shown.open_below else shown.low.end_c,
        high_c=None if shown is None or shown.open_above else shown.high.end_c,
        early_min=early_min,
        late_min=late_min,
        bound_c=track.stall_bound_c(target_c) if call is Call.STALLED else track.bound_c(),
        slope_c_min=newest.slope_c_min if newest else None,
        falls=newest is not None and newest.falls,
        bent_at_min=track.bends[-1].minute if track.bends else None,
        count=len(used),
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


def _verdict(call: Call, used: Readings, plateau: Plateau | None, target_c: float) -> Verdict:
    if call is Call.REACHED:
        return Verdict.WILL_REACH
    if call is Call.STALLED:
        return Verdict.WILL_NOT_REACH
    if call in (Call.POSSIBLE, Call.STEADY) and plateau is not None and _promises(used, plateau, target_c):
        return Verdict.WILL_REACH
    return Verdict.CANNOT_SAY_YET


def _promises(used: Readings, plateau: Plateau, target_c: float) -> bool:
    """True when the whole interval lies above the target at three readings running, and half of the way is done."""
    start_c, now_c = used[0][1], used[-1][1]
    if len(used) < FIRST_VERDICT_READING + RUNNING - 1 or now_c - start_c < (target_c - start_c) / 2:
        return False
    if not _lies_above(plateau, target_c) or not (_bounded(plateau) or _soon(used, target_c)):
        return False
    others = [used[:-back] for back in range(1, RUNNING)] + [used[len(used) // 2 :]]
    return all(_lies_above(fit(each), target_c) for each in others)


def _bounded(plateau: Plateau) -> bool:
    return plateau.bends and not plateau.open_above


def _soon(used: Readings, target_c: float) -> bool:
    """True when the newest slope alone, going straight on, is at the target within twenty minutes."""
    newest = line(used, len(used) - 1)
    return newest is not None and newest.now_c + newest.slope_c_min * SOON_MIN >= target_c


def _lies_above(plateau: Plateau | None, target_c: float) -> bool:
    return plateau is not None and not plateau.open_below and plateau.low.end_c >= target_c


def _when(
    plateau: Plateau | None, verdict: Verdict, target_c: float, used: Readings
) -> tuple[float | None, float | None]:
    """Earliest and latest minute at the target, from the upper and the lower end of the interval; None for never."""
    if plateau is None or verdict is Verdict.WILL_NOT_REACH or plateau.high.end_c < plateau.high.start_c:
        return None, None
    now_min = used[-1][0]
    early, late = plateau.high.minute_of(target_c), plateau.low.minute_of(target_c)
    if early is None or plateau.open_below:
        late = None
    if early is None:
        return None, None
    early = max(early, now_min)
    return early, None if late is None else max(late, early)


def sentence(found: Forecast) -> str:
    """One plain sentence for a forecast."""
    target = f"{found.target_c:.0f} °C"
    if found.call is Call.REACHED:
        return f"{target} was reached at {found.early_min:.0f} min."
    if found.verdict is Verdict.WILL_NOT_REACH:
        if found.falls and found.slope_c_min is not None:
            return f"{target} will not be reached unless something is changed: {_falling(found.slope_c_min)}."
        limit = f"by its slope the furnace gets to {found.bound_c:.0f} °C at most"
        return f"{target} will not be reached unless something is changed: {limit}{_heading(found, ', and it is ')}."
    if found.verdict is Verdict.WILL_REACH:
        return f"{target} should be reached{_in_minutes(found)}{_heading(found, ': the furnace is ')}."
    return f"It cannot be said yet whether {target} will be reached: {_why(found)}."


def _falling(slope_c_min: float) -> str:
    return f"the temperature is falling by {-slope_c_min:.1f} °C a minute"


def _why(found: Forecast) -> str:
    if found.call is Call.TOO_FEW:
        if found.count >= FIRST_VERDICT_READING:
            return "the readings lie too close together in time"
        return f"{found.count} of the ten readings that it takes are there since the start or the last change"
    if found.falls and found.slope_c_min is not None:
        return _falling(found.slope_c_min)
    if found.call is Call.STEAM:
        return "below 150 °C steam can hold the curve flat"
    if found.call is Call.CARBONATE:
        return "between 780 and 950 °C carbonate in the load can hold the curve back for half an hour"
    if found.call is Call.BENT:
        return (
            f"the curve bent off sharply by {found.bent_at_min:.0f} min, as steam, carbonate, an open door or a change "
            "of the burner makes it do"
        )
    if found.call is Call.STEADY:
        return f"it climbs steadily at {found.slope_c_min:.1f} °C a minute, and no plateau shows"
    return _heading(found, "the furnace is ") or "no plateau shows in the curve"


def _heading(found: Forecast, before: str) -> str:
    if found.heading_c is None:
        return ""
    if found.high_c is None:
        return f"{before}heading for {found.low_c:.0f} °C or more" if found.low_c is not None else ""
    if found.low_c is None:
        return f"{before}heading for {found.high_c:.0f} °C or less"
    return f"{before}heading for about {found.heading_c:.0f} °C ({found.low_c:.0f} to {found.high_c:.0f})"


def _in_minutes(found: Forecast) -> str:
    if found.early_min is None or found.last_min is None:
        return ""
    early = found.early_min - found.last_min
    if found.late_min is None:
        return f" in {early:.0f} minutes or more"
    late = found.late_min - found.last_min
    return (
        f" in about {early:.0f} minutes"
        if f"{early:.0f}" == f"{late:.0f}"
        else f" in {early:.0f} to {late:.0f} minutes"
    )
