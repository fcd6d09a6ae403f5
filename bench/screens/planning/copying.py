"""Copy a batch with one change: a series, one batch a level, alike but for that, with its control."""

from dataclasses import replace
from typing import Any

from flask import Blueprint, Response, request

from bench.reckoning.rules import Finding
from bench.screens.kit.deciding import decided
from bench.screens.kit.forms import Form, blank, read_form
from bench.screens.kit.gating import repeated
from bench.screens.kit.issuing import free_codes
from bench.screens.kit.joined import bench
from bench.screens.kit.page import go, page
from bench.screens.kit.recording import Entry, entry_id, record_all
from bench.screens.kit.words import _
from bench.screens.planning.batch import batch_or_404
from bench.screens.planning.copying_factors import Factor, Level, copied, factors
from bench.workshop.gates import gate_plan, stops
from bench.workshop.kinds import BatchPlanned
from bench.workshop.records import BENCH
from bench.workshop.schema import read
from bench.workshop.things.batches import Batch

blueprint = Blueprint("copying", __name__)

MOST_LEVELS = 8
FEWEST = 2
A_BATCH = 3
"""Records that each batch of a series takes: the plan, the code issued, the code assigned."""


@blueprint.get("/batch/<thing>/copy")
def ask(thing: str) -> Response:
    """Which one thing changes; then its levels."""
    view = batch_or_404(thing)
    chosen = _chosen(view, request.args.get("factor", ""))
    return _show(view, chosen, blank(control=chosen.now_typed if chosen else ""))


def _chosen(view: Batch, key: str) -> Factor | None:
    return next((one for one in factors(view) if one.key == key), None)


def _show(view: Batch, chosen: Factor | None, form: Form, findings: tuple[Finding, ...] = ()) -> Response:
    return page(
        "copying/ask.html",
        form=form,
        view=view,
        factors=factors(view),
        chosen=chosen,
        levels=range(MOST_LEVELS),
        findings=findings,
    )


@blueprint.post("/batch/<thing>/copy")
def keep(thing: str) -> Response:
    """A series: one batch a level."""
    view = batch_or_404(thing)
    form = read_form()
    chosen = _chosen(view, form.choice("factor", [one.key for one in factors(view)]) or "")
    if chosen is None:
        return _show(view, None, form)
    levels, control = _levels(form, chosen)
    if form.errors:
        return _show(view, chosen, form)
    plans = [copied(view, chosen, level, form.record_id) for level in levels]
    findings = _findings(plans)
    choice = decided(form, findings, form.record_id)
    if stops(choice.still) and not repeated(form):
        form.refuse(_("Not planned: a level is stopped, for the reasons below."))
    if form.errors:
        return _show(view, chosen, form, findings)
    entries = _entries(form, chosen, levels, control, plans)
    for n in range(len(plans)):
        entries += [replace(each, subject=entry_id(form, 1 + A_BATCH * n)) for each in choice.entries]
    if record_all(entries, form=form, say=_("{n} batches planned", n=len(levels))):
        return go("series.show", thing=form.record_id)
    return _show(view, chosen, form, findings)


def _levels(form: Form, chosen: Factor) -> tuple[list[Level], Level | None]:
    """The levels in their order, the control among them; two that are alike are refused."""
    found: list[Level] = []
    for n in range(MOST_LEVELS):
        level = chosen.read(form, f"level.{n}")
        if level is not None and level in found:
            form.refuse(_("This level stands above already: change one of them."), f"level.{n}")
        found += [level] if level is not None else []
    control = chosen.read(form, "control")
    both = list(dict.fromkeys([*found, *([control] if control is not None else [])]))
    if not form.errors and len(both) < FEWEST:
        form.refuse(_("A series needs at least two levels, or one and its control."), "level.0")
    return (sorted(both) if not chosen.options else both), control


def _findings(plans: list[dict[str, Any]]) -> tuple[Finding, ...]:
    """What stands against any of the batches, each rule once."""
    here = bench()
    found: dict[tuple[str, str], Finding] = {}
    for data in plans:
        for one in gate_plan(read(BatchPlanned, data), here.state, here.library):
            found.setdefault((one.rule, one.effect), one)
    return tuple(found.values())


def _entries(
    form: Form, chosen: Factor, levels: list[Level], control: Level | None, plans: list[dict[str, Any]]
) -> list[Entry]:
    told = {"factor": chosen.words, "unit": chosen.unit or None, "levels": levels, "control": control}
    entries = [Entry("series.planned", None, told)]
    for data, code in zip(plans, _codes(form, len(levels)), strict=True):
        made = entry_id(form, len(entries))
        entries += [
            Entry("batch.planned", None, data),
            Entry("code.issued", BENCH, {"codes": [code]}),
            Entry("code.assigned", made, {"code": code, "thing": made}),
        ]
    return entries


def _codes(form: Form, count: int) -> list[str]:
    """A code a batch; a submit that comes again gets the codes of the first time."""
    state = bench().state
    standing = [state.code_of(entry_id(form, 1 + A_BATCH * n)) for n in range(count)]
    fresh = iter(free_codes(state, count))
    return [code or next(fresh) for code in standing]
