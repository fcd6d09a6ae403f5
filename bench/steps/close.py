"""Close a thing: how it ended, which each sort of thing does in its own ways."""

from bench.steps.declare import Say, Step
from bench.steps.fields import Field, Option, text
from bench.steps.shut_down import REASONS
from bench.steps.wording import _

USED_UP = Option("used-up", _("Used up"))
GIVEN_UP = Option("given-up", _("Given up"))
DISCARDED = Option("discarded", _("Thrown out"), _("by the rules for its waste"))
ENDS: dict[str, tuple[Option, ...]] = {
    "jar": (Option("empty", _("Empty")), DISCARDED),
    "crucible": (Option("retired", _("Out of use"), _("for good")), Option("broken", _("Broken"))),
    "batch": (USED_UP, Option("failed", _("Failed"), _("it becomes nothing")), GIVEN_UP),
    "charge": (Option("lost", _("Lost"), _("all of it, spilt or burst")), GIVEN_UP),
    "pigment": (USED_UP, DISCARDED),
    "swatch": (Option("put-by", _("Put by")), Option("spoiled", _("Spoiled"))),
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
    address=tuple(f"/thing/{{{sort}}}/close" for sort in ENDS if sort not in ("series", "firing")),
    single="-",
    fields=(
        Field("outcome", _("How did it end?"), "text", options=EVERY),
        text("why", _("Why"), 400, lines=True, required=False),
    ),
)


def ends_of(sort: str | None) -> tuple[Option, ...]:
    """How a thing of a sort may end."""
    return ENDS.get(sort or "", PUT_AWAY)
