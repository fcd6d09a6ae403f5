"""`cone`: the temperature at which a pyrometric cone bends, as a range to hold a pyrometer against."""

from typing import TYPE_CHECKING, Any

from bench.reckoning.ask import Ask
from bench.reckoning.kind import Field, Kind
from bench.reckoning.working import step
from bench.science.cones import END_POINTS_C, ERROR_C, QUICK_C_PER_H, SLOW_C_PER_H, end_point_c

if TYPE_CHECKING:
    from bench.reference import Library


def run(ask: Ask, library: "Library") -> dict[str, Any]:
    """The end point with its range; never a statement on what the charge did."""
    cone = ask.choice("cone", tuple(END_POINTS_C))
    rate = ask.number("rate_c_per_h", low=0, high=10_000)
    end_c = end_point_c(cone, rate)
    slow, quick = END_POINTS_C[cone]
    return {
        "end_c": end_c,
        "low_c": end_c - ERROR_C,
        "high_c": end_c + ERROR_C,
        "working": [
            step(
                f"Large cone {cone}: {slow:g} °C at {SLOW_C_PER_H:g} °C/h and {quick:g} °C at {QUICK_C_PER_H:g} °C/h, "
                f"straight in ln(rate) at {rate:g} °C/h",
                end_c,
                "°C",
                "beerman56",
            ),
            step("Publications of one end point differ by up to", ERROR_C, "°C", "speyer94" if cone == "022" else None),
            step("From memory: hold it against ASTM C24 or ISO 1146 before you rely on it."),
            step("A cone tells of its own glass; it is no check of what a solid charge has become."),
        ],
    }


KIND = Kind(
    name="cone",
    summary="the temperature at which a pyrometric cone bends",
    fields=(
        Field("cone", "number of the cone", f"A large cone: {', '.join(END_POINTS_C)}."),
        Field("rate_c_per_h", "°C/h", "How fast it was heated over the last hundred degrees, 60 to 150."),
    ),
    example={"cone": "06", "rate_c_per_h": 100},
    run=run,
)
