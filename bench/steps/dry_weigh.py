"""What a fired powder weighs dry. A later weighing takes the place of the one that its page showed."""

from dataclasses import replace

from bench.steps.bounds import GRAMS
from bench.steps.declare import Doubt, Due, Say, Step
from bench.steps.effects import put
from bench.steps.fields import F, Option, T, choice, number
from bench.steps.liquids import NO_FLAME
from bench.steps.wording import _

WAYS = (
    Option("oven", _("In an oven"), _("never with a liquid that burns")),
    Option("open-air", _("In the open air")),
)
STEP = Step(
    "dry-weigh",
    on=("pigment",),
    record="dry.weighed",
    single="-",
    title=_("Dry and weigh"),
    key=_("Record the mass"),
    past=(Say(_("{net_g:mass} g")),),
    kind_words=_("Weighed dry"),
    glyph="dish",
    address=("/pigment/{pigment}/dry",),
    due=(Due("pigment.state=ground"),),
    rules=("dry",),
    fields=(
        number("net_g", _("Dry mass"), **GRAMS, keypad=True, like=T("pigment.left_g")),
        choice(
            "drying",
            _("How it was dried"),
            WAYS,
            required=False,
            start="oven",
            place="form",
            when="pigment.damp",
        ),
        replace(NO_FLAME, when="pigment.damp"),
    ),
    doubts=(
        Doubt(
            "net_g",
            _("At most {pigment.dry_most_g:mass} g: nothing was added since."),
            "figure>pigment.dry_most_g",
            like=T("pigment.left_g"),
        ),
        Doubt(
            "net_g",
            _("{pigment.left_g:mass} g was recorded before, and no flux was to be washed out."),
            "slip<1 & !pigment.salty",
            like=T("pigment.left_g"),
        ),
    ),
    effects=(
        put("pigment.net_g", F("net_g")),
        put("pigment.mass_g", F("net_g")),
        put("pigment.taken_g", 0.0),
        put("pigment.wet", False),
        put("pigment.medium", None),
        put("pigment.state", "dry"),
    ),
)
