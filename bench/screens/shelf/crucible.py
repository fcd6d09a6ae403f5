"""A crucible: its ware, tare and rating, what it holds, what it has held, and how it looks now."""

from typing import Any

from flask import Blueprint, Response

from bench.screens.kit.called import called, ware_name
from bench.screens.kit.existing import existing
from bench.screens.kit.forms import Form, blank, read_form
from bench.screens.kit.joined import bench
from bench.screens.kit.page import go, page
from bench.screens.kit.recording import record
from bench.screens.kit.words import _
from bench.screens.shelf.crucibles import LIKE, STANDING, condition_words
from bench.workshop.filed import by_time_then_order
from bench.workshop.records import Record
from bench.workshop.things.charges import charge
from bench.workshop.things.crucibles import Crucible, crucible, held_elements, held_unread

blueprint = Blueprint("crucible", __name__, url_prefix="/crucible")

CONDITIONS = ("sound", "clean", "stained", "cracked", "broken", "retired")


@blueprint.get("/<thing>")
def show(thing: str) -> Response:
    """The crucible."""
    view, here = _find(thing), bench()
    like = {name: value for name in LIKE if (value := _like(view, name)) is not None}
    return page(
        "crucible/show.html",
        vessel=view,
        called=called(thing, here.state, here.library),
        standing=STANDING[view.standing],
        condition=condition_words(view.condition),
        holds=called(view.holds, here.state, here.library) if view.holds else None,
        fills=[_fill(record) for record in _fills(thing)],
        held=sorted(held_elements(here.state, thing)),
        unread=held_unread(here.state, thing),
        ware=here.library.ware.get(view.added.ware),
        like=like,
    )


def _find(thing: str) -> Crucible:
    return existing(crucible(bench().state, thing), thing)


def _like(view: Crucible, name: str) -> Any:
    value = getattr(view.added, name, None) if name in ("ware", "volume_ml", "rated_c") else getattr(view, name)
    return f"{value:g}" if isinstance(value, float) else value


def _fills(thing: str) -> list[Record]:
    found = [r for r in bench().state.in_force(thing, "charged") if r.body.crucible == thing]
    return sorted(found, key=by_time_then_order, reverse=True)


def _fill(record: Record) -> dict[str, Any]:
    """One filling: when, what it held, which fires it went through, what came of it."""
    here = bench()
    view = charge(here.state, record.subject)
    stays = view.stays if view is not None else ()
    fires = [called(stay.firing, here.state, here.library).name for stay in stays]
    grams = sum(source.g for source in record.body.sources)
    return {
        "id": record.subject,
        "at": record.local.strftime("%Y-%m-%d"),
        "name": called(record.subject, here.state, here.library).name,
        "grams": grams,
        "fires": ", ".join(dict.fromkeys(fires)),
        "state": view.state if view is not None else "",
    }


@blueprint.get("/<thing>/seen")
def ask(thing: str) -> Response:
    """Ask how it looks and what it weighs."""
    return _ask(_find(thing), blank())


def _ask(view: Crucible, form: Form) -> Response:
    here = bench()
    return page(
        "crucible/seen.html",
        form=form,
        vessel=view,
        called=called(view.id, here.state, here.library),
        conditions=[(one, condition_words(one).capitalize(), SECOND.get(one, "")) for one in CONDITIONS],
        holds=called(view.holds, here.state, here.library) if view.holds else None,
    )


SECOND = {
    "clean": _("washed, and nothing of the last charge in it"),
    "stained": _("the last charge still shows: clean it, or keep it for that colour"),
    "cracked": _("it ends here: a crack opens in the heat"),
    "broken": _("it ends here"),
    "retired": _("it ends here, of your own choice"),
}


@blueprint.post("/<thing>/seen")
def keep(thing: str) -> Response:
    """Record how it was seen."""
    view, form = _find(thing), read_form()
    condition = form.choice("condition", CONDITIONS)
    data = {
        "condition": condition,
        "tare_g": form.number("tare_g", low=0.01, high=50_000, unit="g", required=False),
        "lid_g": form.number("lid_g", low=0.01, high=50_000, unit="g", required=False),
    }
    said = _(
        "{ware}: {condition}", ware=ware_name(view.added.ware).capitalize(), condition=condition_words(condition or "")
    )
    if form.ok and record("crucible.seen", thing, data, form=form, say=said):
        return go("crucible.show", thing=thing)
    return _ask(view, form)
