"""Copy a batch with one change: a series, its levels made more than once, with the batch itself as the control."""

from typing import Any

from flask import Blueprint, Response, request

from bench.reckoning.rules import Finding
from bench.screens.kit.found import batch_or_404
from bench.screens.planning.copying_factors import NAME_MAX, Factor, Level, copied, factors
from bench.screens.planning.series_plans import REPEATS, USUAL_REPEATS, keep_series, read_repeats, repeats_of
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, page
from bench.web.words import _
from bench.workshop.series_results import CONTROL
from bench.workshop.things.batches import Batch

blueprint = Blueprint("copying", __name__)

MOST_LEVELS = 8
FEWEST = 2


@blueprint.get("/batch/<thing>/copy")
def ask(thing: str) -> Response:
    """Which one thing changes; then its levels."""
    view = batch_or_404(thing)
    chosen = _chosen(view, request.args.get("factor", ""))
    return _show(view, chosen, blank(control=chosen.now_typed if chosen else "", repeats=USUAL_REPEATS, name=view.name))


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
        repeats=REPEATS,
        findings=findings,
    )


@blueprint.post("/batch/<thing>/copy")
def keep(thing: str) -> Response:
    """A series: each level as often as it is to be repeated."""
    view = batch_or_404(thing)
    form = read_form()
    chosen = _chosen(view, form.choice("factor", [one.key for one in factors(view)]) or "")
    if chosen is None:
        return _show(view, None, form)
    levels, control = _levels(form, chosen)
    times, name = read_repeats(form), form.text("name", max_len=NAME_MAX) or view.name
    if form.errors:
        return _show(view, chosen, form)
    standing = control is not None and control == chosen.now
    plans: list[dict[str, Any]] = []
    for level in levels:
        made = 1 if standing and level == control else 0
        plans += repeats_of(copied(view, chosen, level, form.record_id, name), times - made, 1 + made)
    told = {"factor": chosen.words, "unit": chosen.unit or None, "levels": levels, "control": control}
    findings = keep_series(form, told, {CONTROL: view.id} if standing else {}, plans)
    return go("series.show", thing=form.record_id) if findings is None else _show(view, chosen, form, findings)


def _levels(form: Form, chosen: Factor) -> tuple[list[Level], Level | None]:
    """The levels in their order, the control among them; two that are alike are refused."""
    found: list[Level] = []
    for n in range(MOST_LEVELS):
        level = chosen.read(form, f"level.{n}")
        if level is not None and level in found:
            form.refuse(_("This level is there twice: change one of them."), f"level.{n}")
        found += [level] if level is not None else []
    control = chosen.read(form, "control")
    both = list(dict.fromkeys([*found, *([control] if control is not None else [])]))
    if not form.errors and len(both) < FEWEST:
        form.refuse(_("A series needs at least two levels, or one and its control."), "level.0")
    return (sorted(both) if not chosen.options else both), control
