"""Place a charge for a firing, on the furnace's map. In a furnace that burns it is in the heat at once."""

from bench.steps.declare import Due, Gate, Say, Step
from bench.steps.effects import READ, append, put
from bench.steps.fields import F, thing, whole
from bench.steps.wording import _

DAMP_IN_HEAT = _("Not recorded as dry: steam bursts a crucible. Dry it first.")
WAITS = "!charge.ended & !charge.out & !charge.in_heat"
ELSEWHERE = "charge.in_heat & charge.firing!=firing.id"
STEP = Step(
    "place",
    on=("charge",),
    record="placed",
    single="firing",
    title=_("Place for a firing"),
    key=_("Save position"),
    past=(Say(_("Placed")),),
    kind_words=_("Placed"),
    glyph="load",
    address=("/charge/{charge}/place", "/firing/{firing}/map"),
    due=(Due(f"{WAITS} & !charge.damp & !?charge.firing"),),
    rules=("load",),
    fields=(
        thing("firing", _("Firing"), "firing", fixed=True),
        whole("tier", _("Tier"), 1, 20, default=1, place="data"),
        whole("row", _("Row"), 1, 50, required=False, place="data"),
        whole("column", _("Column"), 1, 50, required=False, place="data"),
        whole("clock", _("Place on the clock"), 0, 100, required=False, place="data"),
    ),
    gates=(
        Gate("charge-ended", "block", _("This charge is no longer in its crucible."), "charge.ended", sure=True),
        Gate(
            "charge-elsewhere",
            "block",
            _("This charge is in another furnace now."),
            f"!charge.ended & {ELSEWHERE}",
            sure=True,
        ),
        Gate(
            "firing-closed",
            "block",
            _("This firing is closed: plan a new one."),
            f"!charge.ended & !({ELSEWHERE}) & firing.closed",
            sure=True,
        ),
        Gate(
            "damp",
            "block",
            DAMP_IN_HEAT,
            "!charge.ended & !charge.in_heat & !firing.closed & firing.burns & charge.damp",
            sure=True,
        ),
    ),
    effects=(
        put("charge.firing", F("firing")),
        append("charge.firings", F("firing")),
        put("firing.loaded", True),
        put("charge.out", False),
        put("charge.was_hot", True, when="firing.burns"),
        put("charge.in_heat", True, when="firing.burns"),
        *(put(f"charge.{name}", None, when="firing.burns") for name in READ),
        put("charge.in_ms", None),
        put("charge.in_ms", F("at"), when="firing.burns"),
        put("charge.out_ms", None),
    ),
)
