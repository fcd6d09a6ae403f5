"""A crucible goes into a furnace that is hot."""

from bench.steps.declare import Gate, Say, Step
from bench.steps.effects import READ, put
from bench.steps.fields import F, flag, thing
from bench.steps.place import DAMP_IN_HEAT
from bench.steps.wording import _

INSIDE = "!charge.ended & charge.in_heat"
STEP = Step(
    "go-in",
    on=("charge",),
    record="went.in",
    title=_("Put it in"),
    key=_("Record going in"),
    past=(Say(_("In")),),
    kind_words=_("Put in"),
    glyph="into",
    address=("/firing/{firing}/in",),
    rules=("open",),
    fields=(
        thing("firing", _("Firing"), "firing", place="data", fixed=True),
        thing("charge", _("Charge"), "charge", place="data", required=False),
        flag("all", _("All of them"), place="data", default=False),
    ),
    gates=(
        Gate("damp", "block", DAMP_IN_HEAT, "charge.damp", sure=True),
        Gate("charge-ended", "block", _("This charge is no longer in its crucible."), "charge.ended", sure=True),
        Gate("in-heat", "block", _("It is recorded as in a furnace already."), INSIDE, sure=True),
        Gate(
            "not-placed",
            "block",
            _("It is not placed in this firing. Place it first."),
            "!charge.ended & !charge.in_heat & charge.firings!=firing.id",
            sure=True,
        ),
        Gate(
            "over-rating",
            "block",
            _("It is rated to {charge.rated_c} °C; the furnace read {firing.last_c:0}."),
            "firing.burns & firing.last_c>charge.rated_c",
            sure=True,
        ),
    ),
    effects=(
        put("charge.firing", F("firing")),
        put("charge.was_hot", True),
        put("charge.in_heat", True),
        put("charge.out", False),
        put("charge.in_ms", F("at")),
        put("charge.out_ms", None),
        *(put(f"charge.{name}", None) for name in READ),
    ),
)
