"""A batch: what was planned and weighed, what it can become, where it stands, and what comes next."""

from typing import Any

from flask import Blueprint, Response

from bench.exporting.summaries import family
from bench.reckoning import reckon
from bench.science.formulas import pretty
from bench.science.refusal import Refusal
from bench.screens.kit.attached import attached_rows, phase_words
from bench.screens.kit.cautioning import cautions
from bench.screens.kit.found import batch_or_404
from bench.screens.kit.steps import step_path
from bench.screens.loading.charge import COOLINGS
from bench.screens.planning.heat import FIRM
from bench.screens.planning.showing import ratio_says, ratio_words
from bench.screens.records.differing import disagreements
from bench.screens.weighing.weighing import WeighTarget, aims, becomes, working
from bench.web.current import current_bench
from bench.web.page import grams_span, page
from bench.web.words import _
from bench.workshop.costing import CURRENCY, batch_cost
from bench.workshop.digits import readability_g
from bench.workshop.expectation import theory, theory_working
from bench.workshop.flags import flags_of
from bench.workshop.gates import gate_plan, stops
from bench.workshop.jar_water import gas_ask
from bench.workshop.lineage import offspring
from bench.workshop.next_steps import NextStep, batch_step, charge_step, pigment_step
from bench.workshop.parts import batch_parts
from bench.workshop.things.batches import Batch
from bench.workshop.things.charges import Charge, charge

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
CAUTIONS = {"planned": "weigh", "weighing": "weigh", "weighed": "grind", "mixed": "load"}
"""The step whose cautions stand on the page: the one that comes next."""
ENDED = ("closed", "failed")


@blueprint.get("/batch/<thing>")
def show(thing: str) -> Response:
    """The batch."""
    view = batch_or_404(thing)
    here = current_bench()
    state, library = here.state, here.library
    found = becomes(state, view, readability_g(state), library)
    found_aims = aims(state, library, view)
    charges = [c for c in (charge(state, t) for t in offspring(state, thing)) if c is not None]
    following = batch_step(state, thing) or _onward(charges)
    findings = gate_plan(view.plan, state, library)
    return page(
        "batch/show.html",
        view=view,
        said=STATES[view.state],
        formula=pretty(view.plan.target_formula or ""),
        names=[aim.name for aim in found_aims],
        path=step_path(following) if following else None,
        following=following,
        told=_told(view),
        theory=theory(state, view, library),
        in_g=[line.weighed_g or line.target_g for line in view.lines],
        theory_working=theory_working(state, view, library),
        target_working=[step for aim in found_aims for step in working(aim, library)],
        waters=[_water_says(aim) for aim in found_aims if aim.span_g and not charges],
        becomes=found.answer if found else None,
        says=ratio_says(found.answer) if found else [],
        ratio_words=ratio_words,
        cooling=COOLINGS[view.plan.cooling_mode],
        firm=view.plan.cooling_basis in FIRM,
        charges=charges,
        findings=findings if stops(findings) or view.state == "planned" else [],
        flags=[{"say": one.say} for one in flags_of(state, thing, library)],
        disagreements=disagreements(thing),
        ended=view.state in ENDED,
        files=attached_rows(thing),
        phase=phase_words(view.plan.target_formula, family(state, thing)) if view.plan.target_formula else "",
        cost=batch_cost(state, thing),
        money=state.setting(CURRENCY, ""),
        foot=cautions(CAUTIONS.get(view.state, "plan"), batch_parts(state, thing)),
    )


def _onward(charges: list[Charge]) -> NextStep | None:
    """Where nothing is left to be done with the batch itself: the next step of what was made of it."""
    state = current_bench().state
    steps = (charge_step(state, c.id) or (pigment_step(state, c.pigment) if c.pigment else None) for c in charges)
    return next((step for step in steps if step is not None), None)


def _water_says(aim: WeighTarget) -> str:
    span = grams_span(aim.span_g) if aim.span_g is not None else ""
    return _("{name}: water not known, so {span} g may be right.", name=aim.name, span=span)


def _told(view: Batch) -> dict[str, Any] | None:
    """The gas that the batch gives off, with its working; None where it cannot be reckoned."""
    here = current_bench()
    lines = [(line.plan, line.weighed_g or line.target_g) for line in view.lines]
    charges = [gas_ask(here.state, line, g, here.library) for line, g in lines if g]
    try:
        return reckon("gas", {"charges": charges}, here.library)
    except Refusal:
        return None
