"""`forecast`: what a firing is heading for, whether the target will be reached, and when."""

from typing import TYPE_CHECKING, Any

from bench.reckoning.ask import Ask
from bench.reckoning.curves import HOTTEST_C, readings
from bench.reckoning.kind import Field, Kind
from bench.reckoning.working import Step, step
from bench.science.forecast import Forecast, forecast
from bench.science.slope_bound import SLOWEST_TAU_MIN

if TYPE_CHECKING:
    from bench.reference import Library

OWN = "own-forecast"
FIT_SAY = "T = T∞ - (T∞ - T0)·exp(-t/τ) fitted to the readings; the 95 % interval takes 2 °C of scatter or more"
RULE_SAY = (
    "Will not reach is said only when the bound lay below the target at three readings running; no fit decides it"
)


def run(ask: Ask, library: "Library") -> dict[str, Any]:
    """Heading, interval, verdict by the slope bound, times from both ends of the interval, and one sentence."""
    curve = readings(ask)
    target_c = ask.number("target_c", low=-200, high=HOTTEST_C)
    slowest = ask.number("slowest_tau_min", above=0, high=1e5, default=SLOWEST_TAU_MIN)
    changed = ask.number("changed_at_min", low=-1e6, high=1e6, default=None)
    carbonate = ask.flag("carbonate", default=None)
    found = forecast(curve, target_c, slowest, changed, carbonate=carbonate is not False)
    return {
        "heading_for_c": found.heading_c,
        "interval95_c": None if found.heading_c is None else [found.low_c, found.high_c],
        "verdict": str(found.verdict),
        "eta_min": None if found.early_min is None else [found.early_min, found.late_min],
        "say": found.say(),
        "reason": str(found.call),
        "bound_c": found.bound_c,
        "slope_c_min": found.slope_c_min,
        "working": [*_working(found, slowest, changed), *_load(carbonate)],
    }


def _working(found: Forecast, slowest: float, changed: float | None) -> list[Step]:
    since = "" if changed is None else f", from the change at {changed:g} min on"
    return [
        step(f"Readings used: {found.count}{since}", found.count),
        step(FIT_SAY, found.heading_c, "°C", OWN)
        if found.heading_c is not None
        else step(f"No plateau is given: {_no_heading(found)}.", source=OWN),
        step(
            "Slope over the last 20 minutes or the last five readings, whichever is longer", found.slope_c_min, "°C/min"
        ),
        step(
            f"The most that a furnace can still reach whose slowest time constant is {slowest:g} min: level + "
            "(slope + 2 errors)·τ + 2 errors of the level",
            found.bound_c,
            "°C",
            OWN,
        ),
        step(RULE_SAY, source=OWN),
        *_times(found),
    ]


def _load(carbonate: bool | None) -> list[Step]:
    if carbonate is False:
        return [step("The load holds no carbonate, so nothing is waited for between 780 and 950 °C.")]
    held = "holds carbonate" if carbonate else "may hold carbonate: nobody said what it is"
    say = f"The load {held}. Between 780 and 950 °C it is judged as if 30 minutes of its curve had stood still."
    return [step(say, 30, "min", OWN)]


def _no_heading(found: Forecast) -> str:
    if found.call in ("steam", "carbonate", "bent"):
        return "the curve is held or was bent, so that it is no approach to a plateau"
    return "the readings are too few, or as good as straight"


def _times(found: Forecast) -> list[Step]:
    if found.early_min is None:
        return [step("No time is given: the target is not within reach, or nothing supports a time.")]
    if found.call == "reached":
        return [step("The target was crossed on the straight line between two readings", found.early_min, "min")]
    steps = [step("At the target by the upper end of the interval, on the readings' clock", found.early_min, "min")]
    if found.late_min is None:
        return [*steps, step("By the lower end of the interval: never, so the later time is left open.")]
    return [*steps, step("By the lower end of the interval", found.late_min, "min")]


KIND = Kind(
    name="forecast",
    summary="what a firing is heading for, and whether and when it reaches the target",
    fields=(
        Field("readings", "[[min, °C], …]", "The curve so far, in the order of time."),
        Field("target_c", "°C", "The temperature to reach."),
        Field(
            "slowest_tau_min", "min", "Slowest time constant that this furnace may have.", False, int(SLOWEST_TAU_MIN)
        ),
        Field("carbonate", "true or false", "Whether the load holds carbonate. Left out: it may.", False),
        Field("changed_at_min", "min", "When the burner was last changed, or a programmed segment began.", False),
    ),
    example={
        "readings": [
            *([0, 21], [10, 172], [20, 296], [30, 390], [40, 462], [50, 520], [60, 563], [70, 598], [80, 626]),
            *([90, 646], [100, 663], [110, 675], [120, 686], [130, 693]),
        ],
        "target_c": 1000,
    },
    run=run,
)
