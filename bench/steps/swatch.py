"""Brush out a swatch of a powder: binder, oil, white, film. The swatch is a thing of its own, with its code."""

from bench.steps.declare import Due, Say, Step
from bench.steps.effects import Work, add, make
from bench.steps.fields import F, T, number, text, thing
from bench.steps.wording import _

BINDERS = (
    _("linseed oil"),
    _("walnut oil"),
    _("poppy oil"),
    _("gum arabic"),
    _("acrylic medium"),
    _("egg yolk"),
)
STEP = Step(
    "swatch",
    on=("pigment",),
    record="swatch.made",
    single="-",
    makes="swatch",
    title=_("Brush out a swatch"),
    key=_("Record swatch"),
    past=(Say(_("A swatch is made")),),
    kind_words=_("Swatch brushed out"),
    glyph="brush",
    address=("/pigment/{pigment}/swatch",),
    due=(Due("pigment.state=dry & pigment.swatches=0"),),
    rules=("swatch",),
    dust="paint",
    photo=_("Beside a grey card, same lamp each time."),
    fields=(
        thing("pigment", _("Pigment"), "pigment", place="data"),
        text("binder", _("Binder"), 120, start="linseed oil", listed=BINDERS),
        number("oil_g", _("Oil to 1 g of pigment"), "g", high=10_000, required=False),
        number(
            "white_per_pigment",
            _("White to one of pigment"),
            high=1000,
            required=False,
            hint=_("Empty: full strength. 10: a tint of 1 to 10 by mass."),
        ),
        number("film_um", _("Film"), "µm", high=5000, required=False),
    ),
    work_out=(Work("pigment", "given", (T("this.id"),)),),
    effects=(
        add("pigment.swatches", 1),
        make("swatch", {"pigment": T("this.id"), "binder": F("binder"), "judged": False}),
    ),
)
