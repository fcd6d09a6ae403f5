"""Make it again: what was done of a batch, in grams, minutes and degrees, carried over to the jars of today."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from statistics import median
from typing import Literal

from bench.records.kinds import Line, Segment
from bench.records.state import State
from bench.reference import Library
from bench.science.formulas import parse
from bench.science.refusal import Refusal
from bench.workshop.assays import JarAssay, jar_assay
from bench.workshop.comparing import PEAK_C, SOAK_MIN, soak_min
from bench.workshop.things.batches import Batch, BatchLine
from bench.workshop.things.charges import Charge, charge
from bench.workshop.things.crucibles import Crucible, crucible
from bench.workshop.things.firings import BAND_C, Firing, firing
from bench.workshop.things.jars import Jar, jar
from bench.workshop.things.residences import Residence

PURE_PCT = 100.0
CRYSTAL_WATER = re.compile(r"\s*[*·•.]\s*\d*(\.\d+)?\s*H2O\s*$")
"""The water that a formula names apart, at its end."""
SAME_FRACTION = 5e-4
"""Grams that differ by less than half a part in a thousand are the same for any balance here (project default)."""
COOLED_TO_C = 500.0
"""The cooling is told down to here: below it nothing sets any more in the usual targets (project default)."""

REPEATS = "repeats"
"""Under this name the plan of a batch that is made again names the batch that it repeats."""

How = Literal["same-jar", "other-jar", "no-jar", "none-left"]


@dataclass(frozen=True)
class Content:
    """What a reagent is known to hold: so many per cent of a formula; `sure` false while its water is not known."""

    formula: str
    assay_pct: float
    sure: bool = True


@dataclass(frozen=True)
class Dose:
    """One reagent: what was weighed, and what brings as much of it today. Grams.

    `jar_then` is what it was taken from, `jar_now` what it is taken from today; `how` says how the two stand.
    """

    plan: Line
    weighed: bool
    then_g: float
    now_g: float
    jar_then: Jar | None
    jar_now: Jar | None
    then: Content
    now: Content
    how: How

    @property
    def same(self) -> bool:
        """Whether as many grams are taken as then."""
        return abs(self.now_g - self.then_g) <= SAME_FRACTION * self.then_g

    @property
    def sure(self) -> bool:
        """Whether the grams are known: the same jar needs no assay, another one does."""
        return self.how in ("same-jar", "no-jar") or (self.then.sure and self.now.sure)

    @property
    def too_little_g(self) -> float | None:
        """Grams that the jar of today lacks, or None."""
        left = self.jar_now.left_g if self.jar_now is not None else None
        return self.now_g - left if left is not None and left < self.now_g else None


def doses(state: State, view: Batch, library: Library, wanted: str | None = None) -> list[Dose]:
    """Every reagent of a batch that was weighed, or planned where nothing was, for today; `wanted` is a jar to use."""
    return [_dose(state, line, library, wanted) for line in view.lines if _grams(line) > 0]


def _grams(line: BatchLine) -> float:
    return line.weighed_g if line.weighed_g is not None else line.target_g


def _dose(state: State, line: BatchLine, library: Library, wanted: str | None) -> Dose:
    g = _grams(line)
    taken = (line.weighed.body.jar if line.weighed is not None else None) or line.plan.jar
    before = jar(state, taken) if taken else None
    then = _content(state, before, library) or Content(line.plan.formula, line.plan.assay_pct)
    now_jar, now, now_g = _from(state, wanted, then, g, library) or _today(state, before, then, g, library)
    how: How = "no-jar" if before is None else "none-left"
    if now_jar is not None:
        how = "same-jar" if before is not None and now_jar.id == before.id else "other-jar"
    return Dose(line.plan, line.weighed is not None, g, now_g, before, now_jar, then, now, how)


def _content(state: State, view: Jar | None, library: Library) -> Content | None:
    found = jar_assay(state, view.id, library) if view is not None else None
    return None if found is None else _as_content(found)


def _as_content(found: JarAssay) -> Content:
    pct = found.assay_pct if found.by == "wide" else min(found.assay_pct, PURE_PCT)
    return Content(found.formula, pct, found.hydrate_known)


def _from(
    state: State, wanted: str | None, then: Content, g: float, library: Library
) -> tuple[Jar, Content, float] | None:
    """As much from a jar that is asked for, where it holds the same; else None."""
    view = jar(state, wanted) if wanted else None
    now = _content(state, view, library)
    part = times(then.formula, now.formula) if now is not None else None
    if view is None or view.closed or now is None or part is None:
        return None
    return view, now, g * part * then.assay_pct / now.assay_pct


def _today(
    state: State, before: Jar | None, then: Content, g: float, library: Library
) -> tuple[Jar | None, Content, float]:
    """The jar to take it from today, what it holds, and its grams; the same jar while it holds enough."""
    if before is not None and not before.closed and (before.left_g is None or before.left_g >= g):
        return before, then, g
    found = jar_today(state, then, g, library, besides=before.id if before is not None else "")
    if found is not None:
        return found
    still = before if before is not None and not before.closed else None
    return still, then, g


def jar_today(
    state: State, then: Content, g: float, library: Library, besides: str = ""
) -> tuple[Jar, Content, float] | None:
    """The jar of today that brings what so many grams brought, what it holds, and its grams; None where none does."""
    found = []
    for thing in state.open_things("jar"):
        view = jar(state, thing)
        now = _content(state, view, library)
        part = times(then.formula, now.formula) if now is not None else None
        if view is None or view.closed or now is None or part is None or thing == besides:
            continue
        grams = g * part * then.assay_pct / now.assay_pct
        enough = view.left_g is None or view.left_g >= grams
        found.append(((not enough, view.opened.formula != then.formula, not now.sure), view, now, grams))
    return min(found, key=lambda one: one[0])[1:] if found else None


def times(then: str, now: str) -> float | None:
    """Grams of a formula that bring what one gram of another brought, where both differ by their crystals' water alone.

    Quicklime is no slaked lime with other water: only water that a formula names apart, as in CuSO4·5H2O, is left out.
    """
    try:
        first, second = parse(then), parse(now)
        alike = parse(CRYSTAL_WATER.sub("", then)).counts == parse(CRYSTAL_WATER.sub("", now)).counts
    except Refusal:
        return None
    return second.molar_mass_g_mol / first.molar_mass_g_mol if alike else None


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


@dataclass(frozen=True)
class Ware:
    """The crucible that a charge stood in, and one like it that is free today: the same where it is free."""

    then: Crucible
    now: Crucible | None
    charge: Charge


def ware(state: State, charges: Sequence[str]) -> Ware | None:
    """The ware of the fullest of some charges; None where none of them stood in a known crucible."""
    views = [v for v in (charge(state, one) for one in charges) if v is not None]
    if not views:
        return None
    view = max(views, key=lambda one: one.dry_g)
    then = crucible(state, view.crucible)
    return None if then is None else Ware(then, _alike(state, then), view)


def _alike(state: State, then: Crucible) -> Crucible | None:
    others = [crucible(state, thing) for thing in state.open_things("crucible") if thing != then.id]
    alike = [
        one
        for one in (then, *others)
        if one is not None
        and one.standing == "free"
        and (one.added.ware, one.added.volume_ml) == (then.added.ware, then.added.volume_ml)
    ]
    return alike[0] if alike else None


def ground(state: State, batch: str) -> tuple[str, float | None] | None:
    """The medium and the minutes that a batch was ground; None where nobody recorded it."""
    rows = [r.body for r in state.by_time(batch, "mixed")]
    minutes = [row.minutes for row in rows if row.minutes is not None]
    return (rows[-1].medium, sum(minutes) if minutes else None) if rows else None
