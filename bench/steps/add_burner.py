"""Describe a burner: what feeds it."""

from bench.steps.add_furnace import FUELS
from bench.steps.declare import Say, Step
from bench.steps.fields import choice, text
from bench.steps.wording import _

STEP = Step(
    "add-burner",
    on=(),
    record="burner.described",
    makes="burner",
    single="-",
    title=_("Add a burner"),
    past=(Say(_("Burner described")),),
    kind_words=_("Burner described"),
    glyph="flame",
    address=("/burners/new",),
    away=False,
    fields=(
        text("name", _("Name"), 80, hint=_("What sets it apart from the others, such as the long one.")),
        choice("fuel", _("What feeds it?"), FUELS, default="gas"),
        text("notes", _("Notes"), lines=True, required=False, hint=_("Jet, pressure, regulator.")),
    ),
)
