"""`heat-work`: what a firing, or one crucible's part of it, did to the charge."""

from typing import Any

from bench.reckoning.ask import Ask
from bench.reckoning.curves import HOTTEST_C, readings
from bench.reckoning.kind import Field, Kind
from bench.reckoning.working import Step, step
from bench.reference import Library
from bench.science.heat_work import equivalent_soak_min, min_above, peak_c, window
from bench.science.refusal import Refusal
from bench.translation import _

SPREAD_KJ = 100.0
LAG_SAY = _("This is the furnace at the probe. A charge in a crucible lags behind.")


def run(ask: Ask, library: Library) -> dict[str, Any]:
    """Equivalent soak with its spread over 100 kJ/mol either way, minutes above a temperature, and the peak."""
    curve = readings(ask, fewest=2)
    reference_c = ask.number("reference_c", low=-200, high=HOTTEST_C)
    activation = ask.number("activation_kj_mol", low=0, high=2000)
    above_c = ask.number("above_c", low=-273, high=HOTTEST_C, default=None)
    curve, cut = _own_part(ask, curve)
    soak = equivalent_soak_min(curve, reference_c, activation)
    minus, plus = (_spread(curve, reference_c, activation + by) for by in (-SPREAD_KJ, SPREAD_KJ))
    above = None if above_c is None else min_above(curve, above_c)
    return {
        "equivalent_min": soak,
        "equivalent_min_minus_100kj": minus,
        "equivalent_min_plus_100kj": plus,
        "min_above": above,
        "peak_c": peak_c(curve),
        "from_min": curve[0][0],
        "to_min": curve[-1][0],
        "working": [
            *cut,
            step(
                _(
                    "∫exp(-E/R·(1/T - 1/Tref))dt with E {activation:g} kJ/mol and Tref {reference_c:g} °C, "
                    "straight between {curve} readings",
                    activation=activation,
                    reference_c=reference_c,
                    curve=len(curve),
                ),
                soak,
                "min",
                "arrhenius-soak",
            ),
            *_spread_steps(activation, minus, plus),
            _above_step(above_c, above),
            step(_("Highest reading"), peak_c(curve), "°C"),
            step(LAG_SAY),
        ],
    }


def _own_part(ask: Ask, curve: list[tuple[float, float]]) -> tuple[list[tuple[float, float]], list[Step]]:
    """The curve between a crucible's in and out, where both are given."""
    bounds = {name: ask.number(name, low=-1e6, high=1e6, default=None) for name in ("in_min", "out_min")}
    missing = [name for name, value in bounds.items() if value is None]
    if len(missing) == 2:
        return curve, []
    if missing:
        raise Refusal(_("Give both in_min and out_min, or neither."), missing[0])
    part = list(window(curve, bounds["in_min"], bounds["out_min"]))
    steps = [
        step(
            _(
                "Only from {start:g} to {end:g} min, the ends read between their neighbours",
                start=part[0][0],
                end=part[-1][0],
            )
        )
    ]
    if part[0][0] > bounds["in_min"] or part[-1][0] < bounds["out_min"]:
        steps.append(step(_("The crucible was in longer than readings exist. That time is not counted.")))
    return part, steps


def _spread(curve: list[tuple[float, float]], reference_c: float, activation: float) -> float | None:
    if activation < 0:
        return None
    try:
        return equivalent_soak_min(curve, reference_c, activation)
    except Refusal:
        return None


def _spread_steps(activation: float, minus: float | None, plus: float | None) -> list[Step]:
    steps = [step(_("The activation energy of a solid-state reaction is rarely known within 100 kJ/mol"))]
    for by, found in ((-SPREAD_KJ, minus), (SPREAD_KJ, plus)):
        energy = activation + by
        why = _("a negative energy means nothing") if energy < 0 else _("the figure is out of range")
        say = _("With E {energy:g} kJ/mol", energy=energy) + (
            "" if found is not None else _(": not given, {why}", why=why)
        )
        steps.append(step(say, found, "min"))
    return steps


def _above_step(above_c: float | None, above: float | None) -> Step:
    if above_c is None:
        return step(_("above_c was not given, so no minutes above it."))
    return step(_("Minutes at or above {above_c:g} °C, crossings on the straight line", above_c=above_c), above, "min")


KIND = Kind(
    name="heat-work",
    summary="equivalent soak, minutes above a temperature, and peak of a firing curve",
    fields=(
        Field("readings", "[[min, °C], …]", "The curve, in the order of time."),
        Field("reference_c", "°C", "The soak temperature to compare with."),
        Field("activation_kj_mol", "kJ/mol", "Activation energy of the reaction; 300 is a usual guess."),
        Field("above_c", "°C", "Count the minutes at or above this temperature.", False),
        Field("in_min", "min", "When this crucible went in, on the clock of the readings.", False),
        Field("out_min", "min", "When it came out.", False),
    ),
    example={
        "readings": [[0, 20], [196, 1000], [256, 1000], [354, 20]],
        "reference_c": 1000,
        "activation_kj_mol": 300,
        "above_c": 900,
    },
    run=run,
)
