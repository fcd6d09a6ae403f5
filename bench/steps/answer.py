"""Answer an item of a checklist. After a fire these answers are the next step, until the firing is closed."""

from bench.steps.declare import Due, Say, Step
from bench.steps.fields import Option, choice, text
from bench.steps.wording import _

ANSWERS = (
    Option("done", _("Done")),
    Option("not-done", _("Not done")),
    Option("does-not-apply", _("Does not apply")),
)
STEP = Step(
    "after-checks",
    on=("firing", "batch", "charge", "pigment"),
    record="check.answered",
    version=2,
    title=_("Checks after the fire"),
    key=_("Record answers"),
    past=(Say("{answer}"),),
    kind_words=_("Check answered"),
    glyph="flame",
    address=("/firing/{firing}/checks/after-shutdown",),
    due=(Due("?firing.off_ms & !firing.closed"),),
    fields=(
        text("list", _("List"), 80, place="data", fixed=True),
        text("item", _("Item"), place="data", fixed=True),
        choice("answer", _("Answer"), ANSWERS),
        text("reason", _("Reason"), 400, lines=True, required=False),
        text("by", _("Initials"), 40, place="data", required=False),
    ),
)
