"""A waste container was collected: by whom, on which day."""

from bench.steps.declare import Say, Step
from bench.steps.fields import text
from bench.steps.wording import _

STEP = Step(
    "collect",
    on=("waste",),
    record="waste.collected",
    title=_("Collected"),
    key=_("Record collection"),
    past=(Say(_("Collected")),),
    kind_words=_("Waste collected"),
    glyph="waste",
    address=("/waste/{waste}/collected",),
    single="-",
    fields=(text("by", _("By"), 120), text("date", _("Date"), 40)),
)
