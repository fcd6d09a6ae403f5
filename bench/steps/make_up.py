"""Plan what a fired powder lacks. The plan itself is a batch, made on a page of its own."""

from bench.steps.declare import Due, Step
from bench.steps.wording import _

STEP = Step(
    "plan",
    on=("pigment",),
    record=None,
    title=_("Plan the make-up"),
    glyph="plan",
    address=("/pigment/{pigment}/make-up",),
    due=(Due("pigment.state=make-up"),),
    away=False,
)
