"""A crucible comes out of the furnace, and where it was put."""

from bench.steps.declare import Say, Step
from bench.steps.effects import put
from bench.steps.fields import F, flag, text, thing
from bench.steps.wording import _

STEP = Step(
    "come-out",
    on=("charge",),
    record="came.out",
    title=_("Take it out"),
    key=_("Record taking out"),
    past=(Say(_("Out")),),
    kind_words=_("Taken out"),
    glyph="outof",
    address=("/firing/{firing}/out",),
    rules=("open",),
    fields=(
        thing("firing", _("Firing"), "firing", place="data", fixed=True),
        thing("charge", _("Charge"), "charge", place="data", required=False),
        text("rest_place", _("Rest place"), 120, required=False),
        flag("all", _("All of them"), place="data", default=False),
        flag("unconfirmed", _("Recorded as this one, not checked yet"), place="data", default=False),
    ),
    effects=(
        put("charge.firing", F("firing")),
        put("charge.was_hot", True),
        put("charge.in_heat", False),
        put("charge.out", True),
        put("charge.out_ms", F("at")),
    ),
)
