"""Part a powder: one cut of sieving or settling becomes a powder of its own, with its mass and its code."""

from bench.steps.bounds import SOME_GRAMS
from bench.steps.declare import Due, Need, Say, Step
from bench.steps.effects import Also, add, make
from bench.steps.fields import F, T, number, text
from bench.steps.wording import _

STEP = Step(
    "cut",
    on=("pigment",),
    record=None,
    optional=True,
    generic=True,
    title=_("Take a cut"),
    key=_("Record cut"),
    past=(Say(_("A cut of {g:mass} g")),),
    glyph="two",
    address=("/pigment/{pigment}/cut",),
    due=(Due("pigment.state!=waste"),),
    rules=("grind",),
    fields=(
        number("g", _("Mass of the cut"), **SOME_GRAMS, keypad=True),
        text("words", _("Which cut"), 120, required=False, hint=_("such as: settled in 10 min, or under 63 µm")),
    ),
    needs=(Need("g", _("That is more than is left of this pigment."), "g>pigment.left_g"),),
    effects=(
        add("pigment.gone_g", F("g")),
        make(
            "pigment",
            {
                "of": T("pigment.of"),
                "state": T("pigment.state"),
                "rinses": 0,
                "salty": T("pigment.salty"),
                "wet": T("pigment.wet"),
                "medium": T("pigment.medium"),
                "net_g": None,
                "mass_g": F("g"),
                "gone_g": 0.0,
                "taken_g": 0.0,
                "swatches": 0,
            },
        ),
    ),
    also=(
        Also("gathered", None, {"sources": [{"pigment": T("pigment.id"), "g": F("g")}]}, coded=True),
        Also("noted", "made", {"what": "words", "value": F("words")}, when="?words"),
    ),
)
