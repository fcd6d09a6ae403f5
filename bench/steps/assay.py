"""Fire a sample of a jar's powder: what stays of it tells how much of its formula the jar holds."""

from bench.steps.bounds import ASSAY_C, SAMPLE_G
from bench.steps.declare import Step
from bench.steps.fields import number
from bench.steps.wording import _

STEP = Step(
    "assay",
    on=("jar",),
    record="jar.assayed",
    title=_("Fire-assay"),
    key=_("Record assay"),
    kind_words=_("Fire-assay"),
    glyph="flame",
    address=("/jar/{jar}/assay",),
    away=False,
    rules=("fire",),
    fields=(
        number("before_g", _("Before, sample alone"), **{**SAMPLE_G, "low": 0.001}),
        number("after_g", _("After, sample alone"), **SAMPLE_G),
        number("at_c", _("Fired at"), **ASSAY_C),
    ),
)
