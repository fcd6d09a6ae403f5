"""Weighing by jar: one jar open, a mortar a screen, the next one named."""

from flask import Blueprint, Response, abort, url_for

from bench.screens.kit.found import jar_or_404
from bench.screens.kit.names import reagent_name
from bench.screens.weighing.weigh_line import WeighContext, asks_checks, keep_checks, keep_line, show_checks, show_line
from bench.screens.weighing.weighing import WeighTarget, mortars
from bench.web.current import current_bench
from bench.web.forms import blank, read_form
from bench.web.page import go, page
from bench.web.words import _
from bench.workshop.things.batches import Batch
from bench.workshop.things.jars import Jar

blueprint = Blueprint("weigh_jar", __name__, url_prefix="/weigh/jar")


@blueprint.get("/<thing>")
def ask(thing: str) -> Response:
    """The next mortar that this jar goes into."""
    taken = jar_or_404(thing)
    lines = mortars(current_bench().state, current_bench().library, taken)
    waiting = [aim for aim in lines if aim.line.weighed is None]
    asking = _asking(waiting)
    if asking:
        return show_checks(asking, blank(), url_for("weigh_jar.keep", thing=thing))
    if not waiting:
        name = reagent_name(taken.name, current_bench().library)
        return page("weigh/jar_done.html", jar=taken, name=name, mortars=lines)
    return show_line(waiting[0], _way(taken, lines, waiting[0]), blank())


@blueprint.post("/<thing>")
def keep(thing: str) -> Response:
    """Record the answers to the checks for all these batches, or what was weighed into one mortar."""
    taken = jar_or_404(thing)
    lines = mortars(current_bench().state, current_bench().library, taken)
    form = read_form()
    if "batch" not in form.typed:
        asking = _asking([aim for aim in lines if aim.line.weighed is None]) or _batches(lines)
        if not asking or keep_checks(asking, form):
            return go("weigh_jar.ask", thing=thing, **({"one": 1} if form.flag("one") else {}))
        return show_checks(asking, form, url_for("weigh_jar.keep", thing=thing))
    named = (form.typed.get("batch", ""), form.typed.get("line", ""))
    aim = next((one for one in lines if (one.batch.id, str(one.number)) == named), None)
    if aim is None:
        abort(404)
    return keep_line(aim, _way(taken, lines, aim), url_for("weigh_jar.ask", thing=thing), form)


def _asking(waiting: list[WeighTarget]) -> list[Batch]:
    """The batches whose checks come first."""
    return [view for view in _batches(waiting) if asks_checks(view)]


def _batches(lines: list[WeighTarget]) -> list[Batch]:
    """The batches of some lines, each once."""
    return list({aim.batch.id: aim.batch for aim in lines}.values())


def _way(taken: Jar, lines: list[WeighTarget], aim: WeighTarget) -> WeighContext:
    order = sorted(lines, key=lambda one: one.line.weighed is None)
    place = next(n for n, one in enumerate(order) if (one.batch.id, one.number) == (aim.batch.id, aim.number))
    after = next((one for one in order[place + 1 :] if one.line.weighed is None), None)
    sub = _("Mortar {n} of {total}", n=place + 1, total=len(order))
    here = url_for("weigh_jar.keep", thing=taken.id)
    said = None if after is None else f"{after.batch.name} · {after.text(after.target_g)} g"
    return WeighContext(here, f"/jar/{taken.id}", sub, place, len(order), _("Mortar"), taken, said)
