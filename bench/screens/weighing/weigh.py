"""Weighing by batch: the checks, a reagent a screen, and what is in the mortar at the end."""

from flask import Blueprint, Response, abort, make_response, redirect, request, url_for

from bench.screens.kit.checking import unanswered
from bench.screens.kit.found import batch_or_404
from bench.screens.weighing.weigh_line import (
    WeighContext,
    asks_checks,
    keep_checks,
    keep_line,
    listed,
    show_checks,
    show_line,
)
from bench.screens.weighing.weigh_sum import keep_mortar, show_sum
from bench.screens.weighing.weighing import WeighTarget, aims, next_aim
from bench.web.current import current_bench
from bench.web.forms import blank, read_form
from bench.web.page import code_text, go
from bench.web.words import _
from bench.workshop.things.batches import Batch

blueprint = Blueprint("weigh", __name__)


def _aim_or_404(view: Batch, number: int) -> WeighTarget:
    found = next(
        (aim for aim in aims(current_bench().state, current_bench().library, view) if aim.number == number), None
    )
    if found is None:
        abort(404)
    return found


@blueprint.get("/batch/<thing>/weigh")
def following(thing: str) -> Response:
    """The checks, the next line, or what is in the mortar when all is weighed."""
    view = batch_or_404(thing)
    if request.args.get("checks") or asks_checks(view):
        return show_checks([view], blank(), url_for("weigh.keep_list", thing=thing))
    aim = next_aim(aims(current_bench().state, current_bench().library, view))
    if aim is not None and not request.args.get("sum"):
        return make_response(redirect(url_for("weigh.line", thing=thing, number=aim.number), 302))
    return show_sum(view, blank())


@blueprint.post("/batch/<thing>/weigh")
def keep_list(thing: str) -> Response:
    """Record the answers to the checks, or what the mortar's own weight says."""
    view = batch_or_404(thing)
    form = read_form()
    if form.typed.get("part") == "mortar":
        return keep_mortar(view, form)
    if keep_checks([view], form):
        more = {"checks": 1, "one": 1} if form.flag("one") and unanswered(listed(thing)) else {}
        return go("weigh.following", thing=thing, **more)
    return show_checks([view], form, url_for("weigh.keep_list", thing=thing))


@blueprint.get("/batch/<thing>/weigh/<int:number>")
def line(thing: str, number: int) -> Response:
    """One reagent: what it is, how much, and what is on the balance."""
    view = batch_or_404(thing)
    aim = _aim_or_404(view, number)
    if view.state == "planned" and asks_checks(view) and not request.args.get("late"):
        return make_response(redirect(url_for("weigh.following", thing=thing), 302))
    return show_line(aim, _by_batch(view, aim), blank())


@blueprint.post("/batch/<thing>/weigh/<int:number>")
def keep(thing: str, number: int) -> Response:
    """Record what was weighed, or ask what to do where it misses the target."""
    view = batch_or_404(thing)
    aim = _aim_or_404(view, number)
    return keep_line(aim, _by_batch(view, aim), url_for("weigh.following", thing=thing))


def _by_batch(view: Batch, aim: WeighTarget) -> WeighContext:
    numbers = [one.plan.line for one in view.lines]
    here = url_for("weigh.line", thing=view.id, number=aim.number)
    place = numbers.index(aim.number)
    sub = _("{n} of {total} · {code}", n=place + 1, total=len(numbers), code=code_text(view.code))
    return WeighContext(here, f"/batch/{view.id}", sub, place, len(numbers), _("Reagent"))
