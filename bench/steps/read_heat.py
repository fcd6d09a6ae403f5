"""A reading of the furnace's probe: in °C, with what was read where that was another unit."""

from bench.steps.bounds import COLD_JUNCTION_C, PROBE_C
from bench.steps.declare import Say, Step
from bench.steps.effects import put
from bench.steps.fields import F, Option, choice, number
from bench.steps.wording import _

UNITS = (Option("C", "°C"), Option("F", "°F"), Option("mV", "mV"))
STEP = Step(
    "read-heat",
    on=("firing",),
    record="reading",
    title=_("Reading"),
    key=_("Record reading"),
    past=(Say(_("{c:0} °C")),),
    kind_words=_("Reading"),
    glyph="probe",
    address=("/firing/{firing}/reading",),
    fields=(
        number("c", _("Temperature"), **PROBE_C, missing=_("Write the temperature.")),
        number("raw", _("As read"), low=-1e6, high=1e6, required=False, place="data"),
        choice("raw_unit", _("Unit as read"), UNITS, default="C", place="data"),
        number("cold_junction_c", _("Cold junction"), **COLD_JUNCTION_C, required=False),
    ),
    effects=(put("firing.last_c", F("c")),),
)
