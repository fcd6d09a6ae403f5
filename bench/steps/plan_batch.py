"""Plan a batch: what is weighed into it, how it is fired and cooled. Its page is its own; the fields are these."""

from bench.steps.bounds import GRAMS
from bench.steps.declare import Say, Step
from bench.steps.fields import Field, Option, choice, flag, number, rows, text, thing, whole
from bench.steps.stretches import AIRS, STRETCH
from bench.steps.wording import _

WAYS = (
    Option("target", _("From a target")),
    Option("grams", _("By grams")),
    Option("parts", _("By parts")),
)
FATES = (
    Option("reacts", _("Reacts")),
    Option("washed-out", _("Washed out")),
    Option("burns-out", _("Burns out")),
    Option("stays", _("Stays")),
)
COOLINGS = (
    Option("in-furnace", _("In the furnace")),
    Option("slow", _("Slowly, in the furnace")),
    Option("controlled", _("Controlled, by a plan")),
    Option("either", _("In the furnace, any rate")),
    Option("fast", _("Fast, in air")),
    Option("quench-water", _("Quenched in water")),
    Option("unknown", _("Not known: leave it in")),
)
LINE = (
    whole("line", _("Line"), 0, 10_000, fixed=True),
    text("formula", _("Formula"), 200),
    number("target_g", _("Target"), **GRAMS),
    thing("jar", _("Jar"), "jar", required=False),
    text("name", _("Name"), 200, required=False),
    choice("fate", _("Fate"), FATES, default="reacts"),
    number("assay_pct", _("Assay by formula"), "%", 0.1, 110.0, default=100.0),
)
STEP = Step(
    "plan-batch",
    on=(),
    record="batch.planned",
    makes="batch",
    laptop=True,
    single="-",
    title=_("Plan a batch"),
    key=_("Save plan"),
    past=(Say(_("Batch planned")),),
    kind_words=_("Batch planned"),
    glyph="plan",
    address=("/plan",),
    away=False,
    fields=(
        text("name", _("Name"), 80),
        choice("from", _("Planned"), WAYS, fixed=True),
        rows("lines", _("Lines"), LINE, required=True),
        thing("series", _("Series"), "series", required=False),
        Field("level", _("Level"), "value", required=False, most=40),
        text("target", _("Target"), 200, required=False),
        text("target_formula", _("Target formula"), 200, required=False),
        number("fired_g", _("Fired mass"), **GRAMS, required=False),
        number("washed_g", _("Washed mass"), **GRAMS, required=False),
        rows("schedule", _("Schedule"), STRETCH),
        choice("cooling_mode", _("Cooling"), COOLINGS, required=False, default="unknown"),
        text("cooling_basis", _("Cooling known from"), 80, default="unknown"),
        flag("hot_pull", _("Pulled hot"), default=False),
        text("liquid", _("Liquid"), 120, required=False),
        text("binder", _("Binder"), 120, required=False),
        text("packing", _("Packing"), 120, required=False),
        choice("atmosphere", _("Atmosphere"), AIRS, required=False, default="unknown"),
        text("library_rev", _("Library"), 200, required=False),
        text("notes", _("Notes"), lines=True, required=False),
        text("scanned", _("Scanned"), required=False),
    ),
)
