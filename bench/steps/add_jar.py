"""Add a jar to the shelf: what its label says, how much is in it, what it cost."""

from bench.steps.bounds import SOME_GRAMS
from bench.steps.declare import Say, Step
from bench.steps.fields import flag, number, text
from bench.steps.wording import _

STEP = Step(
    "add-jar",
    on=(),
    record="jar.opened",
    version=2,
    makes="jar",
    title=_("Add a jar"),
    key=_("Add the jar"),
    past=(Say(_("Jar added")),),
    kind_words=_("Jar added"),
    glyph="shelf",
    address=("/shelf/new",),
    away=False,
    single="-",
    fields=(
        text("reagent", _("Reagent"), 200),
        text("formula", _("Formula"), 200),
        flag("hydrate_known", _("Water known"), default=True),
        text("lot", _("Lot"), 200, required=False),
        number("assay_pct", _("Assay by formula"), "%", 0.1, 110.0, default=100.0),
        number("assay_sd_pct", _("Uncertainty (±)"), "%", 0.0, 50.0, required=False),
        number("net_g", _("In the jar"), **SOME_GRAMS, required=False),
        number("price", _("Price of the jar"), low=0.0, high=1e6, required=False),
        text("supplier", _("Supplier"), 80, required=False),
        text("received", _("Received on"), 10, required=False),
        text("opened", _("Opened on"), 10, required=False),
    ),
)
