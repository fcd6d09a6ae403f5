"""Pyrometric cones: the furnace temperature at which a large cone bends, by how fast it was heated.

A cone answers to heat work of its own glass, not to that of the charge: its end point is a range to hold a pyrometer
against, and no proof that a solid has reacted. Between the two published rates the end point is straight in the
logarithm of the rate, as it is for anything that one activation energy drives; outside them nothing is said.

Figures: H. P. Beerman, J. Am. Ceram. Soc. 39 (1956) 47, at 60 and 150 °C/h (from memory: hold them against ASTM C24 or
ISO 1146 before use). Cones of another series and the same number lie up to 31 °C away. Cone 022 at 60 °C/h is 576 °C in
Speyer, Thermal Analysis of Materials, ch. 1 (abstract read).
"""

from collections.abc import Mapping
from math import log

from bench.science.refusal import Refusal
from bench.translation import _

SLOW_C_PER_H, QUICK_C_PER_H = 60.0, 150.0
FEW = _("Six of the 64 cones are known here")
NUMBERED_ERROR_C, OTHER_ERROR_C = 15.0, 25.0
"""How far cones bend from their end point at a definite rate: cones 1 to 20, and all others (abstract read, 1926)."""
END_POINTS_C: Mapping[str, tuple[float, float]] = {
    "022": (585, 600),
    "016": (764, 792),
    "06": (991, 999),
    "04": (1050, 1060),
    "1": (1136, 1154),
    "10": (1285, 1305),
}


def end_point_c(cone: str, rate_c_per_h: float) -> float:
    """The end point in °C of a large cone heated at a rate over its last hundred degrees.

    Raises Refusal, field `cone` or `rate_c_per_h`, for a cone that is not in the table, and for a rate outside it.
    """
    known = END_POINTS_C.get(cone)
    if known is None:
        raise Refusal(_("{few}: {cones}.", few=FEW, cones=", ".join(END_POINTS_C)), "cone")
    if not SLOW_C_PER_H <= rate_c_per_h <= QUICK_C_PER_H:
        say = _(
            "The table covers {slow_c_per_h:g} to {quick_c_per_h:g} °C an hour, not {rate_c_per_h:g}.",
            slow_c_per_h=SLOW_C_PER_H,
            quick_c_per_h=QUICK_C_PER_H,
            rate_c_per_h=rate_c_per_h,
        )
        raise Refusal(say, "rate_c_per_h")
    slow, quick = known
    return slow + (quick - slow) * log(rate_c_per_h / SLOW_C_PER_H) / log(QUICK_C_PER_H / SLOW_C_PER_H)


def error_c(cone: str) -> float:
    """How far the cone may bend from its end point, in ± °C."""
    return NUMBERED_ERROR_C if not cone.startswith("0") and 1 <= int(cone) <= 20 else OTHER_ERROR_C
