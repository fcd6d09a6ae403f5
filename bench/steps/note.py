"""A note on a fire, in one tap or in words; and the words that are noted with anything else."""

from bench.steps.declare import Say, Step
from bench.steps.fields import Option, choice, text
from bench.steps.wording import _

WHATS = (
    Option("flame", _("Flame")),
    Option("air", _("Air in the furnace"), on_paper=False),
    Option("lid", _("Lid of the furnace")),
    Option("wind", _("Wind")),
    Option("burner-change", _("Burner")),
    Option("gas-change", _("Gas bottle")),
    Option("smell", _("Smell")),
    Option("noise", _("Noise")),
    Option("co", _("CO")),
    Option("words", _("In words")),
    Option("power", _("Power"), on_paper=False),
    Option("watch", _("Watch"), on_paper=False),
    Option("light", _("Lighting"), on_paper=False),
)
STEP = Step(
    "note",
    on=("firing",),
    record="noted",
    title=_("Note"),
    key=_("Record note"),
    past=(Say("{value}", "what=words"), Say("{what}: {value}")),
    kind_words=_("Noted"),
    glyph="sheet",
    address=("/firing/{firing}/note",),
    fields=(
        choice("what", _("What"), WHATS, sheet=_("what"), missing=_("Choose what this note is about.")),
        text("value", _("Note"), 400, lines=True, sheet=_("how"), missing=_("Write how it was.")),
    ),
)
