"""Open a crucible and weigh out: what came out is a powder of its own."""

from bench.steps.bounds import GRAMS
from bench.steps.declare import Doubt, Due, Gate, Need, Say, Step
from bench.steps.effects import Work, make, put
from bench.steps.fields import F, Field, Option, T, choice, flag, number, text
from bench.steps.wording import _

FATES = (
    Option("clean", _("Clean")),
    Option("stained", _("Stained"), _("never for a pale colour again")),
    Option("cracked", _("Cracked"), _("its last fire")),
    Option("broken", _("Broken")),
)
STEP = Step(
    "open",
    on=("charge",),
    record="opened",
    single="-",
    title=_("Open and weigh out"),
    key=_("Record what came out"),
    past=(Say(_("Opened and weighed")),),
    kind_words=_("Opened and weighed out"),
    glyph="open",
    address=("/charge/{charge}/open",),
    due=(Due("charge.out & !charge.hot & !charge.ended"),),
    rules=("open",),
    photo=_("Before anything is moved."),
    fields=(
        number("gross_g", _("Crucible with its powder"), **GRAMS, required=False, keypad=True),
        number("tare_after_g", _("Crucible, empty"), **GRAMS, required=False),
        number("stuck_g", _("Stuck in it"), **GRAMS, required=False),
        Field("signs", _("Seen"), "list", required=False, place="data"),
        flag("broken_open", _("Broken open"), default=False),
        choice("fate", _("The crucible is now"), FATES, place="form"),
        number(
            "lost_g",
            _("Lost of the charge"),
            **GRAMS,
            required=False,
            place="form",
            hint=_("With a broken crucible, 0 if nothing was lost."),
        ),
        text("more_signs", _("Anything else?"), 400, required=False, place="form"),
    ),
    needs=(
        Need("lost_g", _("How much was lost with it? 0 if nothing was."), "fate=broken & !?lost_g"),
        Need("tare_after_g", _("The empty mass must be less than the full mass."), "tare_after_g>gross_g"),
    ),
    doubts=(
        Doubt(
            "gross_g",
            _("At most {charge.full_most_g:mass} g: crucible, what went in, and oxygen from air."),
            "figure>charge.full_most_g",
            like=T("charge.full_g"),
        ),
        Doubt(
            "gross_g",
            _("The crucible alone weighed {charge.tare_g:mass} g."),
            "figure<charge.tare_g",
            T("charge.full_g"),
        ),
        Doubt(
            "gross_g",
            _("At most {charge.out_most_g:mass} g in it: what went in, and oxygen from air."),
            "?tare_after_g & figure>charge.out_most_g",
            like=T("charge.g"),
            value=Work("net_g", "minus", (F("gross_g"), F("tare_after_g"))),
            called=_("without the crucible"),
        ),
        Doubt(
            "tare_after_g",
            _("The crucible weighed {charge.tare_g:mass} g before."),
            "?slip | figure>charge.full_most_g",
            like=T("charge.tare_g"),
        ),
        Doubt(
            "stuck_g",
            _("At most {charge.out_most_g:mass} g: what went in, and oxygen from air."),
            "figure>charge.out_most_g",
            like=T("charge.g"),
        ),
    ),
    gates=(Gate("charge-ended", "block", _("This charge was opened already."), "charge.ended", sure=True),),
    effects=(
        put("charge.ended", True),
        put("charge.out", False),
        make(
            "pigment",
            {
                "of": T("charge.of"),
                "salty": T("charge.salty"),
                "state": "raw",
                "rinses": 0,
                "wet": False,
                "medium": None,
                "made_ms": F("at"),
                "most_g": T("charge.out_most_g"),
                "net_g": None,
                "gone_g": 0.0,
                "taken_g": 0.0,
                "swatches": 0,
            },
        ),
    ),
)
