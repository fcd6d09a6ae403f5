"""Make a batch larger after too much of one line: all that is wanted grows alike. It is recorded with that weighing."""

from bench.steps.declare import Say, Step
from bench.steps.fields import Field, number
from bench.steps.wording import _

STEP = Step(
    "rescale",
    on=("batch",),
    record="rescaled",
    title=_("Make the batch bigger"),
    past=(Say(_("Made larger")),),
    kind_words=_("Made larger"),
    glyph="balance",
    away=False,
    fields=(
        number("product_factor", _("Larger by"), low=0.0, high=10_000.0, place="data"),
        Field("targets_g", _("New targets"), "numbers", "g", place="data"),
    ),
)
