"""Weigh one line of a batch. Its page is its own (gauge, too much, too little); the fields and bounds are these."""

from bench.steps.bounds import GRAMS
from bench.steps.declare import Due, Gate, Say, Step
from bench.steps.fields import number, thing, whole
from bench.steps.wording import _

STEP = Step(
    "weigh",
    on=("batch",),
    record="weighed",
    single="line",
    title=_("Weigh"),
    key=_("Record mass"),
    past=(Say(_("{net_g:mass} g weighed")),),
    kind_words=_("Weighed"),
    glyph="balance",
    address=("/batch/{batch}/weigh/{line}", "/batch/{batch}/weigh"),
    due=(
        Due("(batch.missing_n>0 | batch.lines_n=0) & !batch.ended", _("Weigh, {batch.next_line_n} of {batch.lines_n}")),
    ),
    rules=("weigh",),
    fields=(
        whole("line", _("Line"), 0, 10_000, place="data", fixed=True),
        number("net_g", _("Net"), **GRAMS, keypad=True, sheet=_("net")),
        thing("jar", _("Jar"), "jar", place="data", required=False),
        number("before_g", _("Container before"), **GRAMS, required=False),
        number("after_g", _("Container after"), **GRAMS, required=False),
        number("added_g", _("Added now"), **GRAMS, required=False, place="form"),
        number("balance_d_g", _("Balance readability"), **GRAMS, default=0.01, place="data"),
    ),
    gates=(Gate("batch-closed", "block", _("This batch is closed."), "batch.ended", sure=True),),
)
