"""Look at a crucible: how it is, and what it weighs empty."""

from bench.steps.bounds import SOME_GRAMS
from bench.steps.declare import Doubt, Say, Step
from bench.steps.effects import put
from bench.steps.fields import F, Option, T, choice, number
from bench.steps.wording import _

CONDITIONS = (
    Option("sound", _("Sound")),
    Option("clean", _("Clean"), _("washed, and nothing of the last charge in it")),
    Option("stained", _("Stained"), _("the last charge shows: clean it, or keep it for that colour")),
    Option("cracked", _("Cracked"), _("out of use: a crack opens in the heat")),
    Option("broken", _("Broken"), _("out of use")),
    Option("retired", _("Retired"), _("out of use, by your choice")),
)
STEP = Step(
    "see",
    on=("crucible",),
    record="crucible.seen",
    title=_("Inspect crucible"),
    key=_("Record condition"),
    past=(Say(_("Crucible: {condition}")),),
    kind_words=_("Crucible inspected"),
    glyph="look",
    address=("/crucible/{crucible}/seen",),
    fields=(
        choice("condition", _("Condition"), CONDITIONS),
        number(
            "tare_g",
            _("Weighs, empty"),
            **SOME_GRAMS,
            required=False,
            hint=_("Weigh it again after each use. Glaze and stuck flux then count as empty mass."),
        ),
        number("lid_g", _("Lid mass"), **SOME_GRAMS, required=False),
    ),
    doubts=(
        Doubt("tare_g", _("It weighed {crucible.tare_g:mass} g empty before."), "?slip", like=T("crucible.tare_g")),
    ),
    effects=(
        put("crucible.condition", F("condition")),
        put("crucible.tare_g", F("tare_g"), when="?tare_g"),
        put("crucible.standing", "ended", when="condition=cracked,broken,retired"),
        put("crucible.standing", "to-clean", when="condition=stained & crucible.standing!=holding"),
        put("crucible.standing", "free", when="condition=clean & crucible.standing!=holding"),
    ),
)
