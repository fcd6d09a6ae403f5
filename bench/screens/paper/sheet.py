"""From the sheet: what was written on paper, entered in its printed order with the times it happened."""

from flask import Blueprint, Response, abort

from bench.screens.paper.sheet_entry import entries_of, read_sheet
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.moments import date_text
from bench.web.page import go, page
from bench.web.recording import record_all
from bench.web.words import _, many
from bench.workshop.sheets import Section, batch_sheet, earlier_rows, firing_sheet
from bench.workshop.things.batches import batch
from bench.workshop.things.firings import firing

blueprint = Blueprint("sheet", __name__, url_prefix="/sheet")


def sections_of(what: str, thing: str) -> tuple[str, list[Section]]:
    """The name of a batch or firing and its sheet; 404 when there is no such thing."""
    state = current_bench().state
    if what == "batch":
        view = batch(state, thing)
        name, sections = (view.name if view else ""), batch_sheet(state, thing)
    else:
        fire = firing(state, thing)
        name, sections = (fire.name if fire else ""), firing_sheet(state, thing, current_bench().library)
    if not sections:
        abort(404)
    return name, sections


@blueprint.get("/<any(batch, firing):what>/<thing>")
def show(what: str, thing: str) -> Response:
    """The sheet as it was printed, every blank empty, with what stands already beside it."""
    name, sections = sections_of(what, thing)
    here = current_bench()
    form = blank(day=date_text(here.now_ms(), here.zone_min()))
    return _entered(form, what, thing, name, sections)


@blueprint.post("/<any(batch, firing):what>/<thing>")
def keep(what: str, thing: str) -> Response:
    """Keep every filled row as a late record of its own, all or none."""
    name, sections = sections_of(what, thing)
    form = read_form()
    before = [earlier_rows(current_bench().state, thing, current_bench().library)] if what == "firing" else []
    filled = read_sheet(form, [*before, *sections])
    entries = entries_of(filled, sections, current_bench().state, form)
    if not filled and not form.errors:
        form.refuse(_("Fill in at least one row."))
    say = many("One row entered from the sheet", "{n} rows entered from the sheet", len(filled))
    if not form.errors and record_all(entries, form=form, say=say):
        return go(f"{what}.show", thing=thing)
    return _entered(form, what, thing, name, sections)


def _entered(form: Form, what: str, thing: str, name: str, sections: list[Section]) -> Response:
    """The sheet to be typed off; a part in which something was written stays open."""
    fields = {field.rpartition(".")[0] for field, value in form.typed.items() if value}
    written = {part.title for part in sections if any(row.field in fields for row in part.rows)}
    return page(
        "sheet/enter.html",
        form=form,
        what=what,
        thing=thing,
        name=name,
        sections=sections,
        written=written,
    )
