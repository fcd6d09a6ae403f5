"""What the fires did to a batch, as it was read at the probe, and the schedule that repeats it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from statistics import median

from bench.records.kinds import Segment
from bench.records.state import State
from bench.workshop.comparing import PEAK_C, SOAK_MIN, soak_min
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import BAND_C, Firing, firing
from bench.workshop.things.residences import Residence

COOLED_TO_C = 500.0
"""The cooling is told down to here: below it nothing sets any more in the usual targets (project default)."""


@dataclass(frozen=True)
class Fired:
    """What the fires did to a charge, as it was read at the probe. °C, minutes, °C/h; None where no reading tells.

    `peak_c` is the hottest of all fires; the rest is of the fire that was hottest. `fires` counts them.
    """

    fires: int
    peak_c: float | None = None
    soak_c: float | None = None
    soak_min: float | None = None
    climb_c_per_h: float | None = None
    cooling_c_per_h: float | None = None
    planned: tuple[Segment, ...] = ()


def fired(state: State, charges: Sequence[str]) -> Fired:
    """What was read of the fires that some charges went through."""
    views = [v for v in (charge(state, one) for one in charges) if v is not None]
    stays = [(s, f) for v in views for s in v.residences if s.went_in is not None if (f := firing(state, s.firing))]
    read = [(max(c for _m, c in f.curve), s, f) for s, f in stays if f.curve]
    if not read:
        return Fired(len({s.firing for s, _f in stays}), planned=stays[-1][1].plan.segments if stays else ())
    peak, stay, fire = max(read, key=lambda one: one[0])
    held = soak_min(stay, fire)
    return Fired(
        fires=len({s.firing for s, _f in stays}),
        peak_c=peak,
        soak_c=_soak_c(fire, stay),
        soak_min=held,
        climb_c_per_h=_climb(fire),
        cooling_c_per_h=_cooling(fire, stay),
        planned=fire.plan.segments,
    )


def _soak_c(fire: Firing, stay: Residence) -> float | None:
    """The middle reading of the soak: one that strays is no soak."""
    until = min((one for one in (stay.came_out, fire.off_at) if one is not None), default=None)
    since = fire.soak_start
    if since is None:
        return None
    held = [r for r in fire.readings if r.when >= since and (until is None or r.when <= until)]
    found = [r.body.c for r in held if r.body.c >= fire.soak.to_c - BAND_C]
    return median(found) if found else None


def _climb(fire: Firing) -> float | None:
    """The mean climb from the first reading to the soak, or to the peak where there was none."""
    curve = fire.curve
    end = fire.soak_start
    start = fire.lit_at or (fire.readings[0].when if fire.readings else None)
    if start is None or len(curve) < 2:
        return None
    at_min = _minutes(start, end) if end is not None else max(curve, key=lambda one: one[1])[0]
    top = min(curve, key=lambda one: abs(one[0] - at_min))
    first = curve[0]
    return 60 * (top[1] - first[1]) / (top[0] - first[0]) if top[0] - first[0] >= 1 and top[1] > first[1] else None


def _cooling(fire: Firing, stay: Residence) -> float | None:
    """The mean fall from when the fire was off to 500 °C, as far as it was read; of what stayed in alone."""
    off = fire.off_at
    start = fire.lit_at or (fire.readings[0].when if fire.readings else None)
    if off is None or start is None or (stay.came_out is not None and stay.came_out <= off):
        return None
    until = _minutes(start, stay.came_out) if stay.came_out is not None else float("inf")
    part = [(m, c) for m, c in fire.curve if _minutes(start, off) <= m <= until and c >= COOLED_TO_C]
    if len(part) < 2 or part[-1][0] - part[0][0] < 1 or part[-1][1] >= part[0][1]:
        return None
    return 60 * (part[0][1] - part[-1][1]) / (part[-1][0] - part[0][0])


def _minutes(start: datetime, end: datetime) -> float:
    return (end - start).total_seconds() / 60


def schedule_done(planned: Sequence[Segment], done: Fired) -> tuple[Segment, ...]:
    """The plan's schedule with what was read put in, where that is further off than two like fires may lie apart."""
    segments = list(planned or done.planned)
    if not segments:
        return _from_readings(done)
    hottest = max(range(len(segments)), key=lambda n: segments[n].to_c)
    was = segments[hottest]
    to_c = _read_or(was.to_c, done.soak_c if done.soak_c is not None else done.peak_c, PEAK_C)
    hold = _read_or(was.hold_min, done.soak_min if done.soak_c is not None else None, SOAK_MIN)
    segments[hottest] = Segment(to_c, was.rate_c_per_h, hold, was.atmosphere)
    return tuple(segments)


def _read_or(planned: float, read: float | None, scatter: float) -> float:
    return planned if read is None or abs(read - planned) <= scatter else float(round(read))


def _from_readings(done: Fired) -> tuple[Segment, ...]:
    top = done.soak_c if done.soak_c is not None else done.peak_c
    return () if top is None else (Segment(float(round(top)), hold_min=float(round(done.soak_min or 0.0))),)
