"""`cone`: the temperature at which a pyrometric cone bends, as a range to hold a pyrometer against."""

from typing import Any

from bench.reckoning.ask import Ask
from bench.reckoning.kind import Field, Kind
from bench.reckoning.working import Step, step
from bench.reference import Library
from bench.science.cones import END_POINTS_C, FEW, QUICK_C_PER_H, SLOW_C_PER_H, end_point_c, error_c
from bench.translation import _


def run(ask: Ask, library: Library) -> dict[str, Any]:
    """The end point with its range; never a statement on what the charge did."""
    cone = ask.text("cone", longest=20)
    rate = ask.number("rate_c_per_h", low=0, high=10_000)
    end_c, error = end_point_c(cone, rate), error_c(cone)
    slow, quick = END_POINTS_C[cone]
    return {
        "end_c": end_c,
        "low_c": end_c - error,
        "high_c": end_c + error,
        "working": [
            step(
                _(
                    "Large cone {cone}: {slow:g} °C at {slow_c_per_h:g} °C/h, {quick:g} at {quick_c_per_h:g}; "
                    "straight in ln(rate) to {rate:g} °C/h",
                    cone=cone,
                    slow=slow,
                    slow_c_per_h=SLOW_C_PER_H,
                    quick=quick,
                    quick_c_per_h=QUICK_C_PER_H,
                    rate=rate,
                ),
                end_c,
                "°C",
                "beerman56",
            ),
            step(_("How far such cones bend from their end point at a definite rate"), error, "± °C", "cones-26"),
            step(_("From memory: check against ASTM C24 or ISO 1146 before you rely on this.")),
            step(_("Another series differs by up to 31 °C. Use the figures of your cones."), source="seger08"),
            *_gas(cone),
            step(_("A cone shows its own glass. It does not show what a solid charge has become.")),
        ],
    }


def _gas(cone: str) -> list[Step]:
    """What the gas of the furnace does to the red cones 010 to 01."""
    if not (cone.startswith("0") and 1 <= int(cone) <= 10):
        return []
    say = _("A few per cent of CO2 or SO2 shift cones 010 to 01. Gas furnaces and sulfates bring them.")
    return [step(say, source="cones-26")]


KIND = Kind(
    name="cone",
    summary="the temperature at which a pyrometric cone bends, for six cones",
    fields=(
        Field("cone", "number of the cone", f"A large cone. {FEW}: {', '.join(END_POINTS_C)}."),
        Field("rate_c_per_h", "°C/h", "How fast it was heated over the last hundred degrees, 60 to 150."),
    ),
    example={"cone": "06", "rate_c_per_h": 100},
    run=run,
)
