"""Close a thing: how it ended, which each sort of thing does in its own ways."""

from bench.steps.declare import Gate, Say, Step
from bench.steps.effects import put
from bench.steps.fields import Field, Option, text
from bench.steps.shut_down import REASONS
from bench.steps.wording import _

HOUR_MIN = 55
"""A look so many minutes after the fire counts as the one at the hour (project default)."""
USED_UP = Option("used-up", _("Used up"))
GIVEN_UP = Option("given-up", _("Given up"))
DISCARDED = Option("discarded", _("Thrown out"), _("by the rules for its waste"))
ENDS: dict[str, tuple[Option, ...]] = {
    "jar": (Option("empty", _("Empty")), DISCARDED),
    "crucible": (Option("retired", _("Out of use"), _("for good")), Option("broken", _("Broken"))),
    "batch": (USED_UP, Option("failed", _("Failed"), _("nothing is made from it")), GIVEN_UP),
    "charge": (Option("lost", _("Lost"), _("everything spilt or burst")), GIVEN_UP),
    "pigment": (USED_UP, DISCARDED),
    "swatch": (Option("put-by", _("Shelved")), Option("spoiled", _("Spoiled"))),
    "series": (Option("done", _("Done")), GIVEN_UP),
    "waste": (Option("full", _("Full"), _("a new container takes its place")), Option("collected", _("Collected"))),
    "firing": (*REASONS, Option("called-off", _("Called off"))),
}
PUT_AWAY = (Option("put-away", _("Put away")), Option("gone", _("Gone"), _("sold, broken or taken down")))
"""How anything else may end."""
EVERY = tuple({one.value: one for ends in (*ENDS.values(), PUT_AWAY) for one in ends}.values())
STEP = Step(
    "close",
    on=tuple(sort for sort in ENDS if sort != "series"),
    record="closed",
    title=_("Close"),
    key=_("Close"),
    past=(Say(_("Closed")),),
    kind_words=_("Closed"),
    glyph="done",
    address=(
        *(f"/thing/{{{sort}}}/close" for sort in ENDS if sort not in ("series", "firing")),
        "/firing/{firing}/close",
    ),
    single="-",
    fields=(
        Field("outcome", _("How did it end?"), "text", options=EVERY),
        text("why", _("Why"), 400, lines=True, required=False),
    ),
    gates=(
        Gate("still-lit", "block", _("The fire is not recorded as off."), "firing.burns", sure=True),
        Gate(
            "after-checks",
            "block",
            _("The checks after the fire, up to 60 minutes, are not all done."),
            "?firing.lit_ms & !firing.after_done",
            sure=True,
        ),
        Gate(
            "looked-early",
            "block",
            _(
                "The look at 60 min was answered {firing.looked_min:0} min after the fire was off. "
                "Check again after the full hour, then answer."
            ),
            f"?firing.lit_ms & firing.looked_min<{HOUR_MIN}",
            sure=True,
        ),
    ),
    effects=(put("firing.closed", True),),
)


def ends_of(sort: str | None) -> tuple[Option, ...]:
    """How a thing of a sort may end."""
    return ENDS.get(sort or "", PUT_AWAY)
