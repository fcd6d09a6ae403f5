"""Gather: parts of charges or powders, swept together after a breakage, become a powder of their own."""

from dataclasses import replace
from typing import Any

from flask import Blueprint, Response, request

from bench.screens.kit.declared import past_words, read_field
from bench.screens.kit.issuing import code_entries
from bench.steps.gather import STEP
from bench.steps.sources import SOURCES
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, page
from bench.web.recording import Entry, record_all
from bench.web.words import _
from bench.workshop.things.crucibles import held_charge

blueprint = Blueprint("gathering", __name__)

ROWS = 6
GRAMS = SOURCES.rows[0]


@blueprint.route("/gather", methods=["GET", "POST"])
def gather() -> Response:
    """What was gathered, by the codes of what it came from, and how much of each."""
    form = read_form() if request.method == "POST" else blank(**{"code.0": request.args.get("code", "")[:12]})
    if form.posted:
        sources = [one for one in (_source(form, n) for n in range(ROWS)) if one is not None]
        if not sources and not form.errors:
            form.refuse(_("Type the code of what it came from."), "code.0")
        if form.ok:
            entries = [Entry("gathered", None, {"sources": sources}), *code_entries(form)]
            if record_all(entries, form=form, say=past_words(STEP, None, {})):
                return go("pigment.show", thing=form.record_id)
    return page("pigment/gather.html", form=form, rows=range(ROWS))


def _source(form: Form, n: int) -> dict[str, Any] | None:
    code = form.code(f"code.{n}", required=False)
    g = read_field(form, replace(GRAMS, name=f"g.{n}"), required=code is not None)
    if code is None:
        if g is not None:
            form.refuse(_("Type the code of what it came from."), f"code.{n}")
        return None
    state = current_bench().state
    for thing in state.things_with(code):
        sort = state.sort_of(thing)
        if sort == "pigment":
            return {"pigment": thing, "g": g}
        charge = held_charge(state, thing) if sort == "crucible" else None
        if charge is not None:
            return {"charge": charge, "g": g}
    form.refuse(_("No pigment and no filled crucible has this code."), f"code.{n}")
    return None
