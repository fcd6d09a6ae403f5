"""The stretches of a schedule, of a batch or a firing: climb or fall at a rate to a temperature, then hold it."""

from bench.steps.fields import Option, choice, number
from bench.steps.wording import _

AIRS = (
    Option("unknown", _("Not known")),
    Option("oxidising", _("Oxidising")),
    Option("neutral", _("Neutral")),
    Option("reducing", _("Reducing")),
    Option("airless", _("Airless, luted")),
)
STRETCH = (
    number("to_c", _("To"), "°C", 20, 1800),
    number("rate_c_per_h", _("Rate"), "°C/h", 1, 3000, required=False),
    number("hold_min", _("Held"), "min", 0, 20_000, required=False, default=0.0),
    choice("atmosphere", _("Atmosphere"), AIRS, required=False, default="unknown"),
)
