"""The steps of the work, one file a step: what is asked, what stands against it, what it does, what it is called.

From a declaration come the form and its reader, the correction, the words of its records, its rows on a run sheet, the
next step and its address, and the phones' `steps.json`. The order here is the order in which a next step is looked for.
"""

from importlib import import_module

from bench.steps.checked import check
from bench.steps.declare import Step
from bench.steps.doubting import with_times
from bench.steps.looking import House
from bench.steps.sorts import PLAIN_SORTS, with_brought

ORDER = (
    "weigh",
    "grind",
    "dry",
    "load",
    "place",
    "go_in",
    "come_out",
    "cool",
    "open",
    "wash",
    "regrind",
    "dry_weigh",
    "swatch",
    "judge",
    "sieve",
    "cut",
    "gather",
    "fill_waste",
    "lost",
    "see",
    "assay",
    "make_up",
    "fire",
    "answer",
    "light",
    "shut_down",
    "read_heat",
    "note",
    "set_timer",
    "close",
    "collect",
    "add_jar",
    "add_crucible",
    "add_furnace",
    "add_burner",
    "plan_batch",
    "plan_series",
    "plan_firing",
    "rescale",
)
STEPS: tuple[Step, ...] = tuple(with_times(import_module(f"bench.steps.{name}").STEP) for name in ORDER)
BY_VERB = {step.verb: step for step in STEPS}
BY_RECORD = {step.record: step for step in STEPS if step.record is not None}
SORTS = tuple(with_brought(sort, STEPS) for sort in PLAIN_SORTS)
HOUSE = House(SORTS)

check(STEPS, SORTS)
