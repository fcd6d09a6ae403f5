"""The soak's clock: it runs while the readings hold in the band, and ends later by what the charge lags behind."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from bench.reckoning.working import Step, step
from bench.records.state import State
from bench.science.curve import Curve
from bench.science.heat_work import min_above
from bench.translation import _
from bench.workshop.heat import curve_of
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import BAND_C, Firing, firing

LAG_MIN_PER_100_G = 30.0
"""Minutes by which 100 g in a crucible lag behind: 15 to 30 in common practice, of which the longer counts."""


@dataclass(frozen=True)
class Soaking:
    """A firing's soak as it stands. Minutes; temperatures in °C.

    `start` is the first reading that held; `held_min` what was held up to the last reading, stretches under the band
    not counted; `holds` whether the last reading is in the band. `ends` is when hold and lag are over if it goes on
    holding; None before the soak, while it is under the band, and where no hold is planned. `over` is the last reading
    in the band, once all is held or the fire is off: what cools after it is no part of the soak, nor of its `low_c`.
    """

    to_c: float
    hold_min: float
    lag_min: float
    heaviest_g: float
    start: datetime | None
    held_min: float
    holds: bool
    low_c: float | None
    high_c: float | None
    ends: datetime | None
    over: datetime | None = None

    @property
    def needs_min(self) -> float:
        """All that is to be held: the plan's hold and the lag."""
        return self.hold_min + self.lag_min

    @property
    def done(self) -> bool:
        return self.start is not None and self.hold_min > 0 and self.held_min >= self.needs_min

    @property
    def working(self) -> list[Step]:
        """How the end came about."""
        band = _("Held at or over {to_c:g} °C so far, straight between the readings", to_c=self.to_c - BAND_C)
        lag = _(
            "The charge lags: {lag_min_per_100_g:g} min for each 100 g, heaviest {heaviest_g:.0f} g",
            lag_min_per_100_g=LAG_MIN_PER_100_G,
            heaviest_g=self.heaviest_g,
        )
        return [
            step(_("Planned to be held"), self.hold_min, "min"),
            step(lag, self.lag_min, "min", "common-practice"),
            step(band, self.held_min, "min"),
            step(_("Still to hold"), max(0.0, self.needs_min - self.held_min), "min"),
        ]


def soaking(state: State, fire: Firing) -> Soaking:
    """The soak of a firing by its readings up to the last."""
    return state.memoize(("soaking", fire.id), lambda: _soaking(state, firing(state, fire.id) or fire))


def _soaking(state: State, fire: Firing) -> Soaking:
    soak = fire.soak
    heaviest = _heaviest_g(state, fire)
    lag = heaviest * LAG_MIN_PER_100_G / 100 if soak.hold_min > 0 else 0.0
    start = fire.soak_start
    part = _since(fire, start)
    held = min_above(part, soak.to_c - BAND_C) if len(part) else 0.0
    last = fire.last_reading
    holds = start is not None and last is not None and last.body.c >= soak.to_c - BAND_C
    left = max(0.0, soak.hold_min + lag - held)
    over = None
    if len(part) and ((soak.hold_min > 0 and not left) or fire.off_at is not None):
        begin = fire.lit_at or fire.readings[0].when
        within = part.minutes[part.c >= soak.to_c - BAND_C]
        if len(within):
            over = begin + timedelta(minutes=float(within[-1]))
            part = part.between(float(part.minutes[0]), float(within[-1]))
    runs = holds and last is not None and soak.hold_min > 0 and fire.burning
    return Soaking(
        to_c=soak.to_c,
        hold_min=soak.hold_min,
        lag_min=lag,
        heaviest_g=heaviest,
        start=start,
        held_min=held,
        holds=holds,
        low_c=float(part.c.min()) if len(part) else None,
        high_c=float(part.c.max()) if len(part) else None,
        ends=last.when + timedelta(minutes=left) if runs and last is not None else None,
        over=over,
    )


def _since(fire: Firing, start: datetime | None) -> Curve:
    """The curve from the soak's start until the fire was off."""
    if start is None:
        return fire.curve[:0]
    begin = fire.lit_at or fire.readings[0].when
    low = (start - begin).total_seconds() / 60
    high = (fire.off_at - begin).total_seconds() / 60 if fire.off_at else float("inf")
    return curve_of(fire).between(low, high)


def _heaviest_g(state: State, fire: Firing) -> float:
    views = [charge(state, c) for c in fire.charges]
    here = [v for v in views if v is not None and any(s.firing == fire.id for s in v.residences)]
    return max((v.dry_g for v in here), default=0.0)
