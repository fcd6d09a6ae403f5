"""A timer. Its end is a moment, so that no lock, restart or change of a clock moves it."""

from bench.steps.declare import Say, Step
from bench.steps.fields import Field, flag, text
from bench.steps.wording import _

STEP = Step(
    "set-timer",
    on=("firing", "charge"),
    record="timer.set",
    title=_("Timer"),
    key=_("Start timer"),
    past=(Say("{purpose}"),),
    kind_words=_("Timer set"),
    glyph="clock",
    address=("/firing/{firing}/timer",),
    fields=(
        text("purpose", _("For what"), 80),
        Field("ends_at", _("Ends at"), "moment", place="data"),
        flag("known_to_laptop", _("Known to the laptop"), default=True, place="data"),
    ),
)
