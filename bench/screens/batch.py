"""A batch: what was planned and weighed, where it stands, what comes next; and the copies of it with one change."""

from typing import Any

from flask import Blueprint, Response, abort

from bench.reckoning import reckon
from bench.reckoning.rules import hazard_summary
from bench.science.refusal import Refusal
from bench.screens.forms import Form, blank, read_form
from bench.screens.issuing import free_codes
from bench.screens.joined import bench
from bench.screens.naming import formula_text, line_name
from bench.screens.page import go, page
from bench.screens.recording import Entry, entry_id, record_all
from bench.screens.steps import step_path
from bench.screens.weighing import becomes, readability_g
from bench.screens.words import _
from bench.workshop.gates import gate_plan
from bench.workshop.kinds import BatchPlanned
from bench.workshop.lineage import offspring
from bench.workshop.next_steps import batch_step
from bench.workshop.parts import batch_parts
from bench.workshop.records import BENCH
from bench.workshop.schema import read, write
from bench.workshop.things.batches import Batch, batch
from bench.workshop.things.charges import charge

blueprint = Blueprint("batch", __name__)

STATES = {
    "planned": _("planned"),
    "weighing": _("weighing"),
    "weighed": _("weighed"),
    "mixed": _("mixed"),
    "used-up": _("used up"),
    "closed": _("closed"),
    "failed": _("failed"),
}
MOST_LEVELS = 8


def batch_or_404(thing: str) -> Batch:
    """The batch of this address, or the calm page."""
    view = batch(bench().state, thing)
    if view is None or not bench().state.exists(thing):
        abort(404)
    return view


@blueprint.get("/batch/<thing>")
def show(thing: str) -> Response:
    """The batch."""
    view = batch_or_404(thing)
    here = bench()
    state, library = here.state, here.library
    following = batch_step(state, thing)
    found = becomes(view, readability_g(state), library)
    charges = [c for c in (charge(state, t) for t in offspring(state, thing)) if c is not None]
    return page(
        "batch/show.html",
        view=view,
        said=STATES[view.state],
        formula=formula_text(view.plan.target_formula or ""),
        names=[line_name(line.plan, state, library) for line in view.lines],
        following=following,
        path=step_path(following) if following else None,
        told=_told(view),
        becomes=found,
        charges=charges,
        findings=gate_plan(view.plan, state, library),
        hazards=hazard_summary(batch_parts(state, thing), library),
        disagreements=state.disagreements(thing),
        sources={key: source.title for key, source in library.sources.items()},
    )


def _told(view: Batch) -> dict[str, Any] | None:
    """The gas that the batch gives off, with its working; None where it cannot be reckoned."""
    charges = [{"formula": line.plan.formula, "g": line.weighed_g or line.target_g} for line in view.lines]
    try:
        return reckon("gas", {"charges": [one for one in charges if one["g"]]}, bench().library)
    except Refusal:
        return None


def factors(view: Batch) -> list[tuple[str, str]]:
    """What may be changed in a copy: the grams of a line, the soak's heat and time, and the cooling."""
    state, library = bench().state, bench().library
    lines = [
        (f"line.{n}", _("{name}, g", name=line_name(one.plan, state, library))) for n, one in enumerate(view.lines)
    ]
    soak = [("to_c", _("Soak, °C")), ("hold_min", _("Soak, min"))] if view.plan.schedule else []
    return [*lines, *soak]


@blueprint.get("/batch/<thing>/copy")
def ask_copy(thing: str) -> Response:
    """Which one thing changes, and to what levels."""
    return _ask(batch_or_404(thing), blank())


def _ask(view: Batch, form: Form) -> Response:
    return page("batch/copy.html", form=form, view=view, factors=factors(view))


@blueprint.post("/batch/<thing>/copy")
def keep_copy(thing: str) -> Response:
    """A series: one batch a level, alike but for the one change."""
    view = batch_or_404(thing)
    form = read_form()
    options = factors(view)
    factor = form.choice("factor", [name for name, _words in options])
    levels = _levels(form)
    if form.errors or factor is None:
        return _ask(view, form)
    words = dict(options)[factor]
    entries = [Entry("series.planned", None, {"factor": words, "levels": levels})]
    codes = _codes(form, len(levels))
    for level, code in zip(levels, codes, strict=True):
        data = _copied(view.plan, factor, level, form.record_id, f"{view.name}, {words} {level:g}")
        made = entry_id(form, len(entries))
        entries += [
            Entry("batch.planned", None, data),
            Entry("code.issued", BENCH, {"codes": [code]}),
            Entry("code.assigned", made, {"code": code, "thing": made}),
        ]
    if record_all(entries, form=form, say=_("{n} batches planned", n=len(levels))):
        return go("batch.series", thing=form.record_id)
    return _ask(view, form)


def _levels(form: Form) -> list[float]:
    found = [form.number(f"level.{n}", low=0, high=100_000, required=n < 2) for n in range(MOST_LEVELS)]
    levels = [one for one in found if one is not None]
    if len(set(levels)) < len(levels):
        form.refuse(_("Two levels are alike: change one of them."), "level.0")
    return levels


def _codes(form: Form, count: int) -> list[str]:
    """A code a batch; a submit that comes again gets the codes of the first time."""
    state = bench().state
    standing = [state.code_of(entry_id(form, 1 + 3 * n)) for n in range(count)]
    fresh = iter(free_codes(state, count))
    return [code or next(fresh) for code in standing]


def _copied(plan: BatchPlanned, factor: str, level: float, series: str, name: str) -> dict[str, Any]:
    data: dict[str, Any] = write(plan)
    data |= {"series": series, "level": level, "name": name[:80]}
    if factor.startswith("line."):
        data["lines"][int(factor[5:])]["target_g"] = level
        # Another mixture has another theory: what is not reckoned again is not claimed.
        data.pop("fired_g", None)
        data.pop("washed_g", None)
    else:
        hottest = max(range(len(data["schedule"])), key=lambda n: data["schedule"][n]["to_c"])
        data["schedule"][hottest][factor] = level
    read(BatchPlanned, data)
    return data


@blueprint.get("/series/<thing>")
def series(thing: str) -> Response:
    """The batches of a series side by side."""
    state = bench().state
    plan = state.slot(thing, "series.planned").body
    if plan is None:
        abort(404)
    members = [batch(state, t) for t in state.things("batch") if state.slot(t, "batch.planned").body.series == thing]
    found = [one for one in members if one is not None]
    found.sort(key=lambda one: (str(type(one.plan.level)), one.plan.level))
    rows = [(one, STATES[one.state], _came_of_it(one)) for one in found]
    return page("series/show.html", thing=thing, plan=plan, rows=rows)


def _came_of_it(view: Batch) -> str:
    """The verdicts on what became of a batch."""
    state = bench().state
    said = []
    for filled in view.charges:
        for pigment in offspring(state, filled):
            said += [r.body.verdict for r in state.own(pigment, "judged")[-1:]]
    return ", ".join(dict.fromkeys(said))
