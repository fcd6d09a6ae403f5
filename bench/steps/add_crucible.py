"""Add a crucible to the shelf: its ware, how much it holds, how hot it may get."""

from bench.steps.bounds import RATED_C
from bench.steps.declare import Say, Step
from bench.steps.fields import number, text
from bench.steps.wording import _

STEP = Step(
    "add-crucible",
    on=(),
    record="crucible.added",
    makes="crucible",
    title=_("Add a crucible"),
    key=_("Add crucible"),
    past=(Say(_("Crucible added")),),
    kind_words=_("Crucible added"),
    glyph="crucible",
    address=("/crucibles/new",),
    away=False,
    single="-",
    fields=(
        text("ware", _("Ware"), 80),
        number("volume_ml", _("Volume"), "mL", 0.1, 20_000.0),
        number("rated_c", _("Rated temperature"), **RATED_C, required=False),
        text("mark", _("Mark on it"), 80, required=False),
    ),
)
