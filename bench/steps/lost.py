"""Some of a thing was lost: spilt, broken with its vessel, or blown off. Grams that nobody knows are left open."""

from bench.steps.bounds import SOME_GRAMS
from bench.steps.declare import Say, Step
from bench.steps.effects import Work, add
from bench.steps.fields import F, Option, T, choice, number, thing
from bench.steps.wording import _

HOWS = (
    Option("spill", _("Spilt")),
    Option("breakage", _("Broken")),
    Option("dust", _("Blown off as dust")),
)
LOSES = ("batch", "charge", "pigment", "jar", "waste")
STEP = Step(
    "lost",
    on=LOSES,
    record="lost",
    title=_("Record a loss"),
    key=_("Record loss"),
    past=(Say(_("{g:mass} g lost"), "?g"), Say(_("Loss recorded"))),
    kind_words=_("Lost"),
    glyph="waste",
    address=tuple(f"/thing/{{{sort}}}/lost" for sort in LOSES),
    row=_("Lost on the way"),
    fields=(
        thing("from", _("From"), "", place="data", fixed=True),
        choice("how", _("How"), HOWS, sheet=_("how"), missing=_("Choose how it was lost.")),
        number(
            "g",
            _("Mass"),
            **SOME_GRAMS,
            required=False,
            keypad=True,
            hint=_("Leave empty if not known. The lost mass then counts as unknown."),
            sheet=_("lost"),
        ),
    ),
    work_out=(Work("from", "given", (T("this.id"),)),),
    effects=(add("batch.gone_g", F("g")), add("pigment.gone_g", F("g"))),
)
