"""What a firing did to each crucible: in and out, the furnace's temperature then, minutes at heat, peak, heat work.

All of it is the furnace at its probe, straight between readings. A charge in its crucible lags behind.
"""

from dataclasses import dataclass
from datetime import datetime
from functools import partial

from bench.reckoning.working import Step, step
from bench.records.state import State
from bench.science.curve import Curve
from bench.science.heat_work import Readings, equivalent_soak_min, min_above, peak_c, temperature_at, window
from bench.science.refusal import Refusal
from bench.translation import _
from bench.workshop.things.firings import BAND_C, Firing, firing
from bench.workshop.things.residences import Residence, residences_of

ACTIVATION_KJ_MOL = 300.0
SPREAD_KJ_MOL = 100.0
"""A usual activation energy of a reaction between solids, seldom known better than this (common practice)."""


@dataclass(frozen=True)
class Heat:
    """One crucible's part of a firing. Temperatures in °C, None where no reading tells.

    `above_min` are its minutes at or over `above_c`, the lower edge of the soak's band; `work_min` the minutes at
    `soak_c` that would have done the same as the whole of its curve, for 300 kJ/mol, with `work_low_min` and
    `work_high_min` for 100 kJ/mol less and more. `read_from` to `read_to` is the part that was read, in minutes since
    the fire was lit; `whole` says whether that is all the time it was in.
    """

    charge: str
    went_in: datetime | None
    came_out: datetime | None
    until: datetime
    in_c: float | None
    out_c: float | None
    soak_c: float
    above_c: float
    above_min: float
    peak_c: float | None
    work_min: float | None
    work_low_min: float | None
    work_high_min: float | None
    read_from: float | None
    read_to: float | None
    whole: bool

    @property
    def work_spread(self) -> tuple[float, float] | None:
        """The least and the most heat work of the three activation energies, or None where one leaves all bounds."""
        known = [one for one in (self.work_min, self.work_low_min, self.work_high_min) if one is not None]
        return (min(known), max(known)) if len(known) == 3 else None

    @property
    def working(self) -> list[Step]:
        """How the figures came about."""
        if self.read_from is None or self.read_to is None:
            return [step(_("There are fewer than two readings from its time in the heat."))]
        steps = [
            step(
                _(
                    "The furnace at its probe from {read_from:.0f} to {read_to:.0f} min after lighting",
                    read_from=self.read_from,
                    read_to=self.read_to,
                )
            ),
            step(
                _("Minutes at or over {above_c:g} °C, straight between the readings", above_c=self.above_c),
                self.above_min,
                "min",
            ),
            step(_("Highest reading"), self.peak_c, "°C"),
        ]
        if self.work_min is not None:
            e = f"E {ACTIVATION_KJ_MOL:g} kJ/mol"
            say = _("Heat work: ∫exp(-E/R·(1/T - 1/Tref))dt with {e} and Tref {soak_c:g} °C", e=e, soak_c=self.soak_c)
            steps.append(step(say, self.work_min, "min", "arrhenius-soak"))
            for by, found in ((-SPREAD_KJ_MOL, self.work_low_min), (SPREAD_KJ_MOL, self.work_high_min)):
                steps.append(
                    step(
                        _("The same with E {activation_kj_mol:g} kJ/mol", activation_kj_mol=ACTIVATION_KJ_MOL + by),
                        found,
                        "min",
                    )
                )
        if not self.whole:
            steps.append(step(_("It was in longer than readings exist. That time is not counted.")))
        return [*steps, step(_("A charge in its crucible lags behind the probe. That is not counted here."))]


def curve_of(fire: Firing) -> Curve:
    """A firing's readings as (minutes since lighting, °C); since the first reading when it was never marked lit."""
    return fire.curve


def _start(fire: Firing) -> datetime | None:
    return fire.lit_at or (fire.readings[0].when if fire.readings else None)


def heats(state: State, fire: Firing, now: datetime) -> list[Heat]:
    """What the firing did so far to each charge of its load, in the order of placing; those not in yet are left out."""
    curve = curve_of(fire)
    found = []
    for thing in fire.charges:
        stay = next((s for s in residences_of(state, thing) if s.firing == fire.id), None)
        if stay is not None and stay.went_in is not None:
            low, high = _minutes(stay, fire, now)
            # Crucibles that stand in the heat together got the same, and one that is out gets no more.
            cut = min(high, curve[-1][0]) if len(curve) else high
            key = ("done", fire.id, low, cut)
            done = state.memoize(key, partial(_done_in, state, fire, low, cut))
            found.append(heat(thing, stay, fire, curve, now, done))
    return found


def _done_in(state: State, fire: Firing, low: float, cut: float) -> "_Done":
    known = firing(state, fire.id) or fire
    return _done(curve_of(known), low, cut, known.soak.to_c)


def _minutes(stay: Residence, fire: Firing, now: datetime) -> tuple[float, float]:
    """When a charge went in and came out, or now, in minutes since the fire was lit."""
    start = _start(fire) or now
    until = stay.came_out or now
    since = max(stay.went_in or start, start)
    return (since - start).total_seconds() / 60, (until - start).total_seconds() / 60


@dataclass(frozen=True)
class _Done:
    """What a part of a curve did: its ends in minutes, None where nothing was read, and what it comes to."""

    ends: tuple[float, float] | None
    above_min: float
    peak_c: float | None
    work: tuple[float | None, float | None, float | None]


def _done(curve: Curve, low: float, high: float, soak_c: float) -> _Done:
    try:
        part = window(curve, low, high) if len(curve) > 1 else []
    except Refusal:  # nothing was read while it was in
        part = []
    if not part:
        return _Done(None, 0.0, None, (None, None, None))
    mid, less, more = (_work(part, soak_c, ACTIVATION_KJ_MOL + by) for by in (0.0, -SPREAD_KJ_MOL, SPREAD_KJ_MOL))
    return _Done((part[0][0], part[-1][0]), min_above(part, soak_c - BAND_C), peak_c(part), (mid, less, more))


def heat(thing: str, stay: Residence, fire: Firing, curve: Curve, now: datetime, done: _Done | None = None) -> Heat:
    """One charge's part of the curve. What stays in cools with the furnace; that counts as far as it was read."""
    low, high = _minutes(stay, fire, now)
    soak_c = fire.soak.to_c
    done = done or _done(curve, low, high, soak_c)
    read_from, read_to = done.ends or (None, None)
    return Heat(
        charge=thing,
        went_in=stay.went_in,
        came_out=stay.came_out,
        until=stay.came_out or now,
        in_c=_at(curve, low),
        out_c=_at(curve, high) if stay.came_out is not None else None,
        soak_c=soak_c,
        above_c=soak_c - BAND_C,
        above_min=done.above_min,
        peak_c=done.peak_c,
        work_min=done.work[0],
        work_low_min=done.work[1],
        work_high_min=done.work[2],
        read_from=read_from,
        read_to=read_to,
        whole=read_from is not None and read_to is not None and read_from <= low + 1 and read_to >= high - 1,
    )


def _at(curve: Curve, minute: float) -> float | None:
    try:
        return temperature_at(curve, minute) if curve else None
    except Refusal:  # before the first or after the last reading
        return None


def _work(part: Readings, soak_c: float, activation_kj_mol: float) -> float | None:
    try:
        return equivalent_soak_min(part, soak_c, activation_kj_mol) if part else None
    except Refusal:  # the figure is out of range
        return None
