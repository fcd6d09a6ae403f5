"""Light the furnace. What was not met when it was lit all the same is kept by the names of the rules."""

from bench.steps.declare import Say, Step
from bench.steps.effects import put
from bench.steps.fields import F, Field
from bench.steps.wording import _

BLANK = _("Blank on the run sheet")

STEP = Step(
    "light",
    on=("firing",),
    record="lit",
    title=_("Light"),
    key=_("It is lit"),
    past=(Say(_("Switched on"), "firing.fuel=electric"), Say(_("Lit"))),
    kind_words=_("Lit"),
    glyph="flame",
    address=("/firing/{firing}/light",),
    single="-",
    rules=("light",),
    row=_("Lit"),
    fields=(
        Field("deviations", _("Lit without"), "list", place="data", required=False),
        Field("blank", BLANK, "list", place="data", required=False),
    ),
    effects=(put("firing.lit_ms", F("at")), put("firing.off_ms", None)),
)
