"""Plan a series: one thing changes from batch to batch, all else stays. Its pages plan its batches with it."""

from bench.steps.declare import Say, Step
from bench.steps.fields import Field, text
from bench.steps.wording import _

STEP = Step(
    "plan-series",
    on=(),
    record="series.planned",
    makes="series",
    laptop=True,
    single="-",
    title=_("Plan a series"),
    past=(Say(_("Series planned")),),
    kind_words=_("Series planned"),
    glyph="plan",
    away=False,
    fields=(
        text("factor", _("Factor"), 200),
        Field("levels", _("Levels"), "values"),
        text("unit", _("Unit"), 40, required=False),
        Field("control", _("Control"), "value", required=False),
    ),
)
