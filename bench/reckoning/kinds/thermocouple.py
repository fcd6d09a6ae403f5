"""`thermocouple`: millivolts to degrees or back, with the cold junction and the tolerance of its class."""

from typing import Any

from bench.reckoning.ask import Ask
from bench.reckoning.kind import Field, Kind
from bench.reckoning.working import Step, step
from bench.reference import Library
from bench.science import thermocouples
from bench.science.refusal import Refusal
from bench.translation import _

COLDEST_C, HOTTEST_C = -273.15, 3000.0


def run(ask: Ask, library: Library) -> dict[str, Any]:
    """The tip's temperature or the meter's millivolts, and the error that new wire of the class may have."""
    letter = ask.text("type", longest=20).upper()
    cold_c = ask.number("cold_junction_c", low=COLDEST_C, high=HOTTEST_C, default=0.0)
    tolerance_class = ask.whole("class", 1, 3, None)
    awg = ask.whole("wire_awg", 1, 60, None)
    c, mv, steps = _converted(ask, letter, cold_c)
    tolerance = _tolerance(letter, tolerance_class, c)
    limit = None if awg is None else thermocouples.wire_limit_c(letter, awg)
    return {
        "c": c,
        "mv": mv,
        "f": thermocouples.f_from_c(c),
        "tolerance_c": tolerance,
        "wire_limit_c": limit,
        "above_wire_limit": None if limit is None else c > limit,
        "working": [*steps, _tolerance_step(letter, tolerance_class, tolerance, c), *_limit_step(letter, awg, limit)],
    }


def _converted(ask: Ask, letter: str, cold_c: float) -> tuple[float, float, list[Step]]:
    if ask.has("mv") == ask.has("c"):
        raise Refusal(_("Give either mv, the meter's millivolts, or c, the temperature."), "mv")
    cold_mv = thermocouples.reference_mv(letter, cold_c, "cold_junction_c")
    junction = step(
        _("Type {letter} at the cold junction, {cold_c:g} °C", letter=letter, cold_c=cold_c),
        cold_mv,
        "mV",
        "nist-srd60",
    )
    if ask.has("c"):
        c = ask.number("c", low=COLDEST_C, high=HOTTEST_C)
        hot_mv = thermocouples.reference_mv(letter, c)
        return (
            c,
            hot_mv - cold_mv,
            [
                step(_("Type {letter} at {c:g} °C, against 0 °C", letter=letter, c=c), hot_mv, "mV", "nist-srd60"),
                junction,
                step(
                    _(
                        "The meter shows the difference, {hot_mv:.4f} - {cold_mv:.4f} mV",
                        hot_mv=hot_mv,
                        cold_mv=cold_mv,
                    ),
                    hot_mv - cold_mv,
                    "mV",
                ),
            ],
        )
    mv = ask.number("mv", low=-100, high=100)
    c = thermocouples.temperature_c(letter, mv, cold_c)
    return (
        c,
        mv,
        [
            junction,
            step(
                _("Millivolts are added, not degrees: {mv:g} + {cold_mv:.4f} mV", mv=mv, cold_mv=cold_mv),
                mv + cold_mv,
                "mV",
            ),
            step(_("The reference function read backwards"), c, "°C", "nist-srd60"),
        ],
    )


def _tolerance(letter: str, tolerance_class: int | None, c: float) -> float | None:
    """The class's tolerance, or None without a class or where the standard gives none: the temperature stands alone."""
    if tolerance_class is None or not thermocouples.in_class_range(letter, tolerance_class, c):
        return None
    return thermocouples.tolerance_c(letter, tolerance_class, c)


def _tolerance_step(letter: str, tolerance_class: int | None, tolerance: float | None, c: float) -> Step:
    if tolerance_class is None:
        return step(_("No class was given, so no tolerance can be stated."))
    if tolerance is None:
        low, high = thermocouples.class_range_c(letter, tolerance_class)
        say = _(
            "Class {tolerance_class} of type {letter} covers {low:g} to {high:g} °C, not {c:.6g} °C.",
            tolerance_class=tolerance_class,
            letter=letter,
            low=low,
            high=high,
            c=c,
        )
        return step(_("{say} No tolerance can be stated there.", say=say), source="iec60584-1")
    say = _(
        "New wire of type {letter}, class {tolerance_class}. Used wire drifts more: log its hours above 1000 °C",
        letter=letter,
        tolerance_class=tolerance_class,
    )
    return step(say, tolerance, "± °C", "iec60584-1")


def _limit_step(letter: str, awg: int | None, limit: float | None) -> list[Step]:
    if limit is None:
        return []
    return [
        step(
            _("Highest use of protected wire of type {letter}, AWG {awg}", letter=letter, awg=awg), limit, "°C", "e230"
        )
    ]


KIND = Kind(
    name="thermocouple",
    summary="millivolts to degrees or back, with cold junction and tolerance",
    fields=(
        Field("type", "letter", "K, N, S, R, B, J, E or T."),
        Field("mv", "mV", "What the meter shows; give this or c.", False),
        Field("c", "°C", "The tip's temperature; give this or mv.", False),
        Field("cold_junction_c", "°C", "Temperature of the meter's clamps; 0 if it compensates by itself.", False, 0),
        Field("class", "1, 2 or 3", "Tolerance class by IEC 60584-1, for new wire.", False),
        Field("wire_awg", "AWG", "Wire size, for the highest temperature of protected wire.", False),
    ),
    example={"type": "K", "mv": 19.644, "cold_junction_c": 25, "class": 2},
    run=run,
)
