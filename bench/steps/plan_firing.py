"""Plan a firing: in which furnace, by which stretches."""

from bench.steps.declare import Say, Step
from bench.steps.fields import rows, text, thing
from bench.steps.stretches import STRETCH
from bench.steps.wording import _

STEP = Step(
    "plan-firing",
    on=(),
    record="firing.planned",
    makes="firing",
    single="-",
    title=_("Plan a firing"),
    key=_("Plan firing"),
    past=(Say(_("A firing is planned")),),
    kind_words=_("Firing planned"),
    glyph="plan",
    address=("/firings/new",),
    away=False,
    fields=(
        thing("furnace", _("Furnace"), "furnace"),
        rows("segments", _("Segments"), STRETCH, required=True),
        thing("burner", _("Burner"), "burner", required=False),
        text("name", _("Name"), 80, required=False),
    ),
)
