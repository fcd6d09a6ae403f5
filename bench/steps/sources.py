"""What a charge was filled from, or a powder gathered from: rows of a mass and the thing that it is of."""

from bench.steps.bounds import SOME_GRAMS
from bench.steps.fields import Field, number, thing
from bench.steps.wording import _

SOURCES = Field(
    "sources",
    _("Sources"),
    "rows",
    place="data",
    rows=(
        number("g", _("Mass"), **SOME_GRAMS),
        thing("batch", _("Batch"), "batch", required=False),
        thing("pigment", _("Powder"), "pigment", required=False),
        thing("jar", _("Jar"), "jar", required=False),
        thing("charge", _("Charge"), "charge", required=False),
    ),
)
