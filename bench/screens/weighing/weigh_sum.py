"""What is in the mortar when all is weighed: the sum, what it can become, and the mortar's own weight against it."""

from flask import Response

from bench.science.formulas import pretty
from bench.screens.kit.checking import tally
from bench.screens.weighing.weigh_line import listed
from bench.screens.weighing.weighing import aims, becomes, next_aim
from bench.web.current import current_bench
from bench.web.forms import Form
from bench.web.page import go, grams, page
from bench.web.recording import Entry, record_all
from bench.web.words import _
from bench.workshop.digits import readability_g
from bench.workshop.things.batches import Batch

HOW_LOST = ("dust", "spill", "leave")


def keep_mortar(view: Batch, form: Form) -> Response:
    """The mortar weighed with what is in it, against the sum of the weighings; what is missing is recorded as lost."""
    empty = form.number("mortar_before_g", low=0, high=1e6, unit="g")
    full = form.number("mortar_after_g", low=0, high=1e6, unit="g")
    how = form.choice("how", HOW_LOST, required=False)
    if empty is not None and full is not None and full <= empty:
        form.refuse(_("The full mortar cannot weigh less than the empty one."), "mortar_after_g")
    if not form.ok or empty is None or full is None:
        return show_sum(view, form)
    known = sum(r.body.g or 0.0 for r in current_bench().state.own(view.id, "lost") if r.id != form.record_id)
    gap = round(view.weighed_g - known - (full - empty), 9)
    if how in ("dust", "spill") and gap > 0:
        lost = {"from": view.id, "g": gap, "how": how}
        if record_all(
            [Entry("lost", view.id, lost)],
            form=form,
            say=_("{g} g lost", g=grams(gap)),
        ):
            return go("weigh.following", thing=view.id, sum=1)
    if how == "leave":
        return go("weigh.following", thing=view.id, sum=1)
    return show_sum(view, form, gap_g=gap)


def show_sum(view: Batch, form: Form, gap_g: float | None = None) -> Response:
    """The mortar; `gap_g` is what is missing in it against the weighings, where it was weighed."""
    state, library = current_bench().state, current_bench().library
    d_g = readability_g(state)
    found = aims(state, library, view)
    whole = becomes(state, view, d_g, library)
    return page(
        "weigh/sum.html",
        form=form,
        view=view,
        aims=found,
        gap_g=gap_g,
        gap_counts=gap_g is not None and abs(gap_g) > d_g * (len(found) + 1),
        target_g=sum(aim.target_g for aim in found),
        becomes=whole,
        meant=pretty(view.plan.target_formula or ""),
        list_said=tally(listed(view.id)),
        next=next_aim(found),
        places=found[0].places if found else 2,
    )
