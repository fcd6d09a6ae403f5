"""The records that plan a series: the series, and each batch with its code; what stands against any of them."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from bench.reckoning.rules import Finding
from bench.records.kinds import BatchPlanned
from bench.records.record import BENCH
from bench.records.schema import read
from bench.screens.kit.deciding import decided
from bench.screens.kit.gating import repeated
from bench.screens.kit.issuing import free_codes
from bench.web.current import current_bench
from bench.web.forms import Form
from bench.web.recording import Entry, entry_id, record_all
from bench.web.words import _, many
from bench.workshop.gates import gate_plan, stops

NAME_MAX = 80
MOST_BATCHES = 24
REPEATS = (("1", _("once")), ("2", _("twice")), ("3", _("three times")))
USUAL_REPEATS = "2"
A_BATCH = 3
"""Records that each batch of a series takes: the plan, the code issued, the code assigned."""

Data = dict[str, Any]


def read_repeats(form: Form) -> int:
    """How often each level is made; once where an older page did not ask."""
    return int(form.choice("repeats", [value for value, _words in REPEATS], required=False) or "1")


def repeats_of(plan: Data, times: int, first: int = 1) -> list[Data]:
    """A plan so many times, each named by which of them it is; `first` where some of them stand already."""
    if times + first - 1 < 2:
        return [plan] * times
    ends = [_(", repeat {n}", n=n) for n in range(first, first + times)]
    return [plan | {"name": plan["name"][: NAME_MAX - len(end)] + end} for end in ends]


def against_any(plans: list[Data]) -> tuple[Finding, ...]:
    """What stands against any of the batches, each rule once."""
    here = current_bench()
    found: dict[tuple[str, str], Finding] = {}
    for data in plans:
        for one in gate_plan(read(BatchPlanned, data), here.state, here.library):
            found.setdefault((one.rule, one.effect), one)
    return tuple(found.values())


def keep_series(form: Form, told: Data, also: Mapping[str, str], plans: list[Data]) -> tuple[Finding, ...] | None:
    """Records the series and its batches; None when they are kept, else what stands against them."""
    if len(plans) > MOST_BATCHES:
        form.refuse(_("These are {n} batches; plan {most} at most.", n=len(plans), most=MOST_BATCHES))
    findings = against_any(plans)
    choice = decided(form, findings, form.record_id)
    if stops(choice.still) and not repeated(form):
        form.refuse(_("Not planned: see what stops a level below."))
    if form.errors:
        return findings
    entries = _entries(form, told, also, plans)
    for n in range(len(plans)):
        entries += [replace(each, subject=entry_id(form, 1 + A_BATCH * n)) for each in choice.entries]
    say = many("1 batch planned", "{n} batches planned", len(plans))
    return None if record_all(entries, form=form, say=say) else findings


def _entries(form: Form, told: Data, also: Mapping[str, str], plans: list[Data]) -> list[Entry]:
    entries = [Entry("series.planned", None, told, also)]
    for data, code in zip(plans, _codes(form, len(plans)), strict=True):
        made = entry_id(form, len(entries))
        entries += [
            Entry("batch.planned", None, data),
            Entry("code.issued", BENCH, {"codes": [code]}),
            Entry("code.assigned", made, {"code": code, "thing": made}),
        ]
    return entries


def _codes(form: Form, count: int) -> list[str]:
    """A code a batch; a submit that comes again gets the codes of the first time."""
    state = current_bench().state
    standing = [state.code_of(entry_id(form, 1 + A_BATCH * n)) for n in range(count)]
    fresh = iter(free_codes(count))
    return [code or next(fresh) for code in standing]
