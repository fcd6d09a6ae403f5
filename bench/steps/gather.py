"""Gather parts of charges or powders, swept together after a breakage, into a powder of their own."""

from bench.steps.declare import Say, Step
from bench.steps.sources import SOURCES
from bench.steps.wording import _

STEP = Step(
    "gather",
    on=("pigment",),
    record="gathered",
    single="-",
    makes="pigment",
    title=_("Gather spill"),
    key=_("Record gathering"),
    past=(Say(_("Gathered")),),
    kind_words=_("Gathered"),
    glyph="two",
    address=("/gather",),
    away=False,
    fields=(SOURCES,),
)
