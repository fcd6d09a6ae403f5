"""Read the surface of a crucible on itself: nothing else clears it to be touched."""

from bench.steps.bounds import SURFACE_C
from bench.steps.declare import Due, Say, Step
from bench.steps.effects import Work, put
from bench.steps.fields import F, T, number, thing
from bench.steps.wording import _

STEP = Step(
    "cool",
    on=("charge",),
    record="touched",
    title=_("Let cool"),
    key=_("Record reading"),
    past=(Say(_("{surface_c} °C on it")),),
    kind_words=_("Surface temperature"),
    glyph="cool",
    address=("/charge/{charge}/cool",),
    due=(Due("charge.out & charge.hot & !charge.ended"),),
    rules=("open",),
    fields=(
        thing("thing", _("Thing"), "", place="data", fixed=True),
        number("surface_c", _("Surface temperature"), **SURFACE_C, keypad=True),
    ),
    work_out=(Work("thing", "given", (T("this.id"),)),),
    effects=(
        put("charge.before_c", T("charge.surface_c")),
        put("charge.before_ms", T("charge.read_ms")),
        put("charge.surface_c", F("surface_c")),
        put("charge.read_ms", F("at")),
    ),
)
