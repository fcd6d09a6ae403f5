"""What a powder is ground in: the same answers for the mortar before the fire and after it."""

from bench.steps.declare import Say
from bench.steps.effects import Work
from bench.steps.fields import F, Field, Option, choice, flag, text
from bench.steps.wording import _

DRY_MEDIA = ("dry", "none")
"""Media that wet nothing."""


def medium(water: str, start: object) -> tuple[Field, ...]:
    """The fields: one of a few liquids, or another one by its name. `water` is what to think of with water."""
    burns = _("burns: open air, no oven until it is dry")
    options = (
        Option("dry", _("Dry"), _("a closed vessel, or extraction")),
        Option("water", _("Water"), water),
        Option("alcohol", _("Alcohol"), burns),
        Option("acetone", _("Acetone"), burns),
        Option("other", _("Another liquid")),
    )
    return (
        choice("medium", _("Ground in"), options, start=start, place="form"),
        text("medium_name", _("Which other liquid"), 80, required=False, place="form", when="medium=other"),
        text(
            "medium",
            _("Ground in"),
            80,
            place="data",
            sheet=_("liquid, or dry"),
            missing=_("Write the liquid it was ground in, or dry."),
        ),
        NO_FLAME,
    )


PAST = (
    Say(_("Ground dry, {minutes} min"), "medium=dry & ?minutes"),
    Say(_("Ground dry"), "medium=dry"),
    Say(_("Ground in {medium}, {minutes} min"), "?minutes"),
    Say(_("Ground in {medium}")),
)
"""What was done in the mortar, from the data of its record."""
NO_FLAME = flag(
    "no_flame",
    _("No flame and nothing hot within 10 m"),
    hint=_("needed for any liquid that burns"),
    place="form",
)
SAID_MEDIUM = Work("medium", "other", (F("medium"), F("medium_name")))
