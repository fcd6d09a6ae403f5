"""A crucible: its ware, tare and rating, what it holds, what it has held, and how it looks now."""

from typing import Any

from flask import Blueprint, Response

from bench.records.record import Record
from bench.records.store import by_time_then_order
from bench.screens.kit.declared import past_words, read_step, shown_fields
from bench.screens.kit.first_steps import first_due
from bench.screens.kit.found import crucible_or_404
from bench.screens.kit.thing_label import thing_label
from bench.screens.shelf.crucibles import LIKE, STANDING, condition_words
from bench.steps.see import STEP
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, page
from bench.web.recording import record
from bench.workshop.things.charges import charge
from bench.workshop.things.crucibles import Crucible, held_elements, held_unread

blueprint = Blueprint("crucible", __name__, url_prefix="/crucible")


@blueprint.get("/<thing>")
def show(thing: str) -> Response:
    """The crucible."""
    view, here = crucible_or_404(thing), current_bench()
    like = {name: value for name in LIKE if (value := _like(view, name)) is not None}
    return page(
        "crucible/show.html",
        vessel=view,
        called=thing_label(thing),
        standing=STANDING[view.standing],
        condition=condition_words(view.condition),
        holds=thing_label(view.holds) if view.holds else None,
        fills=[_fill(record) for record in _fills(thing)],
        held=sorted(held_elements(here.state, thing)),
        unread=held_unread(here.state, thing),
        ware=here.library.ware.get(view.added.ware),
        like=like,
        first_due=first_due(),
    )


def _like(view: Crucible, name: str) -> Any:
    value = getattr(view.added, name, None)
    return f"{value:g}" if isinstance(value, float) else value


def _fills(thing: str) -> list[Record]:
    found = [r for r in current_bench().state.effective_records(thing, "charged") if r.body.crucible == thing]
    return sorted(found, key=by_time_then_order, reverse=True)


def _fill(record: Record) -> dict[str, Any]:
    """One filling: when, what it held, which fires it went through, what came of it."""
    here = current_bench()
    view = charge(here.state, record.subject)
    stays = view.residences if view is not None else ()
    fires = [thing_label(stay.firing).name for stay in stays]
    grams = sum(source.g for source in record.body.sources)
    return {
        "id": record.subject,
        "at": record.local.strftime("%Y-%m-%d"),
        "name": thing_label(record.subject).name,
        "grams": grams,
        "fires": ", ".join(dict.fromkeys(fires)),
        "state": view.state if view is not None else "",
    }


@blueprint.get("/<thing>/seen")
def ask(thing: str) -> Response:
    """Ask how it looks and what it weighs."""
    return _ask(crucible_or_404(thing), blank())


def _ask(view: Crucible, form: Form) -> Response:
    return page(
        "crucible/seen.html",
        form=form,
        vessel=view,
        called=thing_label(view.id),
        fields=shown_fields(form, STEP, view.id),
        holds=thing_label(view.holds) if view.holds else None,
    )


@blueprint.post("/<thing>/seen")
def keep(thing: str) -> Response:
    """Record how it was seen."""
    view, form = crucible_or_404(thing), read_form()
    data = read_step(form, STEP, thing).data
    if form.ok and record("crucible.seen", thing, data, form=form, say=past_words(STEP, thing, data)):
        return go("crucible.show", thing=thing)
    return _ask(view, form)
