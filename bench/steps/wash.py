"""Rinse a fired powder: water, a test, and where the rinse went."""

from bench.steps.bounds import MILLILITRES, WATER_C
from bench.steps.declare import Due, Say, Step
from bench.steps.effects import Also, add, put
from bench.steps.fields import F, Option, T, choice, number, text, thing, whole
from bench.steps.wording import _

ACIDS = (Option("none", _("No acid")), Option("HCl", _("Hydrochloric")), Option("other", _("Another")))
TESTS = (
    _("conductivity"),
    _("silver nitrate: chloride"),
    _("barium chloride: sulfate"),
    _("pH"),
    _("colour of the rinse"),
    _("chromium(VI) strip"),
    _("cobalt strip"),
)
STEP = Step(
    "wash",
    on=("pigment",),
    record="washed",
    title=_("Rinse"),
    key=_("Record rinse"),
    past=(Say(_("Rinse {round}")),),
    kind_words=_("Washed"),
    glyph="rinse",
    address=("/pigment/{pigment}/wash",),
    due=(
        Due("pigment.state=raw & pigment.salty", _("First rinse")),
        Due("pigment.state=washed", _("Rinse {pigment.next_rinse}, or grind")),
    ),
    rules=("wash",),
    fields=(
        whole("round", _("Rinse number"), 1, 99, start=T("pigment.next_rinse")),
        number("water_ml", _("Water"), **MILLILITRES, required=False, keypad=True),
        number("c", _("Temperature"), **WATER_C, required=False),
        text("test", _("Test"), 120, required=False, listed=TESTS),
        text("result", _("Result"), 120, required=False),
        thing("waste", _("Waste container"), "waste", required=False),
        choice("acid", _("Acid in it?"), ACIDS, required=False, start="none", place="form"),
    ),
    effects=(
        put("pigment.state", "washed"),
        add("pigment.rinses", 1),
        put("pigment.wet", True),
        put("pigment.medium", "water", when="!?pigment.medium"),
        add("waste.volume_ml", F("water_ml")),
    ),
    also=(
        Also(
            "waste.added",
            F("waste"),
            {"container": F("waste"), "from": T("pigment.id"), "volume_ml": F("water_ml")},
            when="?waste",
        ),
    ),
)
