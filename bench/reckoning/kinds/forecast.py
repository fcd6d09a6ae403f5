"""`forecast`: a fact, a verdict, an interval and a time of a firing, each only as far as its readings support it."""

from dataclasses import asdict
from typing import Any

from bench.reckoning.ask import Ask
from bench.reckoning.curves import HOTTEST_C, readings
from bench.reckoning.kind import Field, Kind
from bench.reckoning.working import Step, step
from bench.reference import Library
from bench.science.forecast import Forecast, forecast
from bench.science.heat_dose import DRY_DOSE_C_MIN
from bench.science.slope_bound import ARREST_MIN, SLOWEST_TAU_MIN
from bench.translation import _

OWN = "own-forecast"
FACT_SAY = _(
    "A standstill: means of three readings, from the first at the newest level. The line between does not rise, "
    "nor reach the target within the hour"
)
FIT_SAY = _("The highest to come, by every exponential that fits the newest readings; bounds: radiation and slow walls")
RULE_SAY = _(
    "Will not reach needs the bound 2 % below the target. Four readings in a row, over 15 minutes, must show "
    "it. No fit decides this."
)
CANNOT_SAY = _("It does not see a burner that drifts, or a hold without a record.")
TESTED_SAY = _("It was tested on simulated furnaces. It counts as untested until ten real firings are logged.")
ONE_C_SAY = _("No single temperature is given: the readings support only an interval.")


def run(ask: Ask, library: Library) -> dict[str, Any]:
    """Fact, verdict by the slope bound, interval, times, and the sentences for them."""
    curve = readings(ask)
    target_c = ask.number("target_c", low=-200, high=HOTTEST_C)
    slowest = ask.number("slowest_tau_min", above=0, high=1e5, default=SLOWEST_TAU_MIN)
    changed = ask.number("changed_at_min", low=-1e6, high=1e6, default=None)
    carbonate, dry = ask.flag("carbonate", default=None), ask.flag("dry", default=None)
    found = forecast(curve, target_c, slowest, changed, carbonate=carbonate is not False, dry=dry is True)
    return {
        "fact": None if found.fact is None else asdict(found.fact),
        "heading_for_c": None,
        "heading_for_reason": ONE_C_SAY,
        "interval95_c": None if found.low_c is None else [found.low_c, found.high_c],
        "verdict": str(found.verdict),
        "eta_min": None if found.early_min is None else [found.early_min, found.late_min],
        "say": found.say(),
        "reason": str(found.call),
        "bound_c": found.bound_c,
        "slope_c_min": found.slope_c_min,
        "working": [*_working(found, slowest, changed), *_water(found, dry), *_load(carbonate), *_limits()],
    }


def _working(found: Forecast, slowest: float, changed: float | None) -> list[Step]:
    since = "" if changed is None else _(", from the change at {changed:g} min on", changed=changed)
    tau = _(
        "a furnace with a slowest time constant of {slowest:.0f} min at the target, longer when colder",
        slowest=slowest,
    )
    return [
        step(_("Readings used: {count}{since}", count=found.count, since=since), found.count),
        step(FACT_SAY, found.fact.minutes, "min", OWN)
        if found.fact is not None
        else step(_("No standstill: it rose in the last 25 minutes, or is at the target."), source=OWN),
        *_interval(found),
        step(_("Slope over 20 minutes or five readings, whichever is longer"), found.slope_c_min, "°C/min"),
        step(
            _("The most that can still be reached by {tau}: level + (slope + 2.5 errors)·τ", tau=tau),
            found.bound_c,
            "°C",
            OWN,
        ),
        step(RULE_SAY, source=OWN),
        *_times(found),
    ]


def _interval(found: Forecast) -> list[Step]:
    if found.low_c is None:
        return [step(_("No interval is given: {found}.", found=_no_interval(found)), source=OWN)]
    return [
        step(_("{fit_say}: lower end", fit_say=FIT_SAY), found.low_c, "°C", OWN),
        step(_("Upper end"), found.high_c, "°C", OWN),
    ]


def _no_interval(found: Forecast) -> str:
    if found.call == "reached":
        return _("the target was read")
    return _("too few readings, water, a lid, a fall, or no fit within 150 °C")


def _water(found: Forecast, dry: bool | None) -> list[Step]:
    if dry:
        return [step(_("Load and lining are dry, so water causes no wait."))]
    say = _(
        "Heat dose over 100 °C since lighting; water may be leaving until {dry_dose_c_min:,.0f} °C·min",
        dry_dose_c_min=DRY_DOSE_C_MIN,
    )
    return [step(say, found.dose_c_min, "°C·min", OWN)]


def _load(carbonate: bool | None) -> list[Step]:
    if carbonate is False:
        return [step(_("No CO2 from this load over 700 °C: no wait between 780 and 950 °C."))]
    held = _("holds carbonate that goes late") if carbonate else _("may hold carbonate that goes late: not known")
    stood = _("as if its curve had stopped for {arrest_min:g} minutes", arrest_min=ARREST_MIN)
    say = _("The load {held}. Between 780 and 950 °C it is judged {stood}.", held=held, stood=stood)
    return [step(say, ARREST_MIN, "min", OWN)]


def _times(found: Forecast) -> list[Step]:
    if found.early_min is None:
        return [step(_("No time is given: the target is out of reach, or too little is known."))]
    if found.call == "reached":
        return [step(_("The target was crossed on the straight line between two readings"), found.early_min, "min")]
    steps = [
        step(_("At the target by the slope and two errors, going straight on: not before"), found.early_min, "min")
    ]
    if found.late_min is None:
        return [*steps, step(_("No later time is given: the target is not near enough."))]
    return [*steps, step(_("At the latest: half an hour and three times the straight way"), found.late_min, "min", OWN)]


def _limits() -> list[Step]:
    return [step(CANNOT_SAY, source=OWN), step(TESTED_SAY, source=OWN)]


KIND = Kind(
    name="forecast",
    summary="whether a firing stands still, what it is heading for, whether and when it reaches the target",
    fields=(
        Field("readings", "[[min, °C], …]", "The curve since lighting, in the order of time."),
        Field("target_c", "°C", "The temperature to reach."),
        Field(
            "slowest_tau_min",
            "min",
            "Slowest time constant that this furnace may have at the target.",
            False,
            int(SLOWEST_TAU_MIN),
        ),
        Field(
            "carbonate",
            "true or false",
            "Whether the load holds carbonate that goes over 700 °C, as calcium carbonate does. Left out: it may.",
            False,
        ),
        Field("dry", "true or false", "Whether load and lining hold no water. Left out: they may.", False),
        Field("changed_at_min", "min", "When the burner was last changed, or a programmed segment began.", False),
    ),
    example={
        "readings": [
            *([10, 180], [20, 330], [30, 450], [40, 560], [50, 640], [60, 690], [70, 712], [80, 719]),
            *([90, 721], [100, 720], [110, 722], [120, 721]),
        ],
        "target_c": 1000,
    },
    run=run,
)
