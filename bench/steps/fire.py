"""The firing as the next step while it is planned, checked or burns: its own page says what is to be done now."""

from bench.steps.declare import Due, Step
from bench.steps.wording import _

COLD = "!?firing.lit_ms & !?firing.off_ms & !firing.closed"
STEP = Step(
    "fire",
    on=("firing",),
    record=None,
    title=_("In the furnace"),
    glyph="flame",
    address=("/firing/{firing}",),
    due=(
        Due("firing.burns & firing.soaking", _("Holding")),
        Due("firing.burns & !firing.soaking", _("Heating")),
        Due(f"{COLD} & !firing.loaded", _("Place crucibles")),
        Due(f"{COLD} & firing.checked & firing.fuel=electric", _("Switch on")),
        Due(f"{COLD} & !firing.checked & firing.fuel=electric", _("Check, then switch on")),
        Due(f"{COLD} & firing.checked", _("Light")),
        Due(f"{COLD} & !firing.checked", _("Check, then light")),
    ),
    rules=("fire",),
)
