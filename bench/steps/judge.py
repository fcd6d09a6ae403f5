"""The verdict on a powder and on its swatches, in words, with what is suspected."""

from bench.steps.declare import Due, Say, Step
from bench.steps.effects import put
from bench.steps.fields import Option, choice, rows, text
from bench.steps.wording import _

VERDICTS = (
    Option("keep", _("Keep"), _("as wanted")),
    Option("refire", _("Fire again"), _("ground, with fresh flux if it had some")),
    Option("make-up", _("Make up"), _("composition is off: plan what is missing")),
    Option("tint", _("Tint stock"), _("weak, but sound")),
    Option("discard", _("Throw away"), _("into the waste, never the drain")),
)
CERTAINTY = (Option("sure", _("Sure")), Option("guess", _("A guess")))
AFTER = {"keep": "kept", "refire": "refire", "make-up": "make-up", "tint": "tint", "discard": "waste"}
"""How a powder stands after each verdict."""
STEP = Step(
    "judge",
    on=("pigment", "swatch"),
    record="judged",
    title=_("Judge pigment"),
    key=_("Record verdict"),
    past=(Say(_("Judged: {verdict}")),),
    kind_words=_("Judged"),
    glyph="judge",
    address=("/pigment/{pigment}/judge",),
    due=(Due("pigment.state=dry & pigment.swatches>0"),),
    fields=(
        choice("verdict", _("Verdict"), VERDICTS),
        text("words", _("In words"), required=False, lines=True),
        rows(
            "suspected",
            _("Suspected"),
            (text("cause", _("Cause"), 120), choice("certainty", _("How sure"), CERTAINTY, default="guess")),
            place="data",
        ),
    ),
    effects=(
        *(put("pigment.state", state, when=f"verdict={verdict}") for verdict, state in AFTER.items()),
        put("swatch.judged", True),
    ),
)
