"""Grind a fired powder again. In a liquid it is damp until it is weighed dry."""

from bench.steps.bounds import GRAMS, MESH_UM, MINUTES
from bench.steps.comparable import SIEVED
from bench.steps.declare import Due, Need, Step
from bench.steps.effects import put
from bench.steps.fields import Compare, F, number
from bench.steps.liquids import PAST, SAID_MEDIUM, medium
from bench.steps.wording import _

GROUND_AFTER = Compare(_("ground after"), "sum", 1.0, 0)
STEP = Step(
    "grind-again",
    on=("pigment",),
    record="ground",
    title=_("Grind"),
    key=_("Record grinding"),
    past=PAST,
    kind_words=_("Ground again"),
    glyph="mortar",
    address=("/pigment/{pigment}/grind",),
    due=(Due("pigment.state=raw & !pigment.salty"),),
    rules=("grind",),
    dust="grind",
    fields=(
        *medium(_("dry it before the next fire"), start=None),
        number("minutes", _("Time"), **MINUTES, required=False, keypad=True, compare=GROUND_AFTER),
    ),
    old=(
        number("sieve_um", _("Sieve"), **MESH_UM, required=False, compare=SIEVED),
        number("held_back_g", _("Oversize"), **GRAMS, required=False),
    ),
    work_out=(SAID_MEDIUM,),
    needs=(Need("medium_name", _("Say which liquid."), "medium=other & !?medium_name"),),
    effects=(
        put("pigment.state", "ground"),
        put("pigment.wet", True, when="medium!=dry,none"),
        put("pigment.medium", F("medium"), when="medium!=dry,none"),
    ),
)
