"""The fire is off, and why."""

from bench.steps.declare import Say, Step
from bench.steps.effects import put
from bench.steps.fields import F, Field, Option, choice, text
from bench.steps.light import BLANK
from bench.steps.wording import _

REASONS = (
    Option("reached", _("Finished as planned")),
    Option("stalled", _("Stalled, no hotter")),
    Option("out-of-gas", _("Out of gas or power")),
    Option("fault", _("A fault")),
    Option("emergency", _("An emergency")),
)
STEP = Step(
    "shut-down",
    on=("firing",),
    record="fire.off",
    title=_("Shut down"),
    key=_("Record fire off"),
    past=(Say(_("Shut down")),),
    kind_words=_("Shut down"),
    glyph="flame",
    address=("/firing/{firing}/off",),
    rules=("fire",),
    row=_("Fire off"),
    fields=(
        choice("reason", _("Why?"), REASONS, sheet=_("because"), missing=_("Choose why the fire is off.")),
        text("words", _("What happened"), 400, lines=True, required=False),
        Field("blank", BLANK, "list", place="data", required=False),
    ),
    effects=(put("firing.off_ms", F("at")),),
)
