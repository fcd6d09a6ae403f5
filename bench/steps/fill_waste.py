"""Put something into a waste container, or set one up: what goes in, how much, and how much it holds."""

from bench.steps.bounds import GRAMS, MILLILITRES
from bench.steps.declare import Gate, Say, Step
from bench.steps.effects import Work, add
from bench.steps.fields import F, T, number, text, thing
from bench.steps.wording import _

STEP = Step(
    "fill-waste",
    on=("waste",),
    record="waste.added",
    makes="waste",
    rules=("waste",),
    title=_("Put into waste"),
    key=_("Record waste"),
    past=(Say(_("Into the waste")),),
    kind_words=_("Put into waste"),
    glyph="waste",
    address=("/waste/{waste}",),
    fields=(
        thing("container", _("Container"), "waste", place="data", fixed=True),
        text("contents", _("What goes in"), 200),
        thing("from", _("From"), "", place="data", required=False, fixed=True),
        number("volume_ml", _("Liquid"), **MILLILITRES, required=False),
        number("mass_g", _("Solids"), **GRAMS, required=False),
        number("capacity_ml", _("Holds"), **{**MILLILITRES, "low": 1.0}, required=False, place="data"),
    ),
    work_out=(Work("container", "given", (T("this.id"),)),),
    gates=(
        Gate(
            "waste-full",
            "block",
            _("It would overflow: this container holds {waste.capacity_ml} mL. Use another one."),
            "volume_ml>waste.room_ml",
            sure=True,
        ),
    ),
    effects=(add("waste.volume_ml", F("volume_ml")),),
)
