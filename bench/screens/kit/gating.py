"""Whether what a form says may be recorded: a gate stands before the act; what was done in fact is never refused."""

from collections.abc import Iterable

from bench.reckoning.rules import Finding
from bench.screens.kit.forms import Form
from bench.screens.kit.joined import bench
from bench.screens.kit.sending import was_done_before
from bench.workshop.gates import stops


def repeated(form: Form) -> bool:
    """Whether this very submit was recorded before: it gets the same answer again, whatever has changed since."""
    return form.record_id in bench().state.records


def may_record(form: Form, found: Iterable[Finding]) -> bool:
    """Whether nothing stops the step, or it is entered as something that happened before now."""
    return not stops(found) or form.happened_ms is not None or repeated(form) or was_done_before()
