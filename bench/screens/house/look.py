"""The living gallery at `/look`: every macro in every state. Open in the demo and in tests only."""

from flask import Blueprint, Response, abort, current_app

from bench.screens.house import gallery
from bench.web.current import current_bench
from bench.web.page import page

blueprint = Blueprint("look", __name__, url_prefix="/look")


@blueprint.before_request
def only_in_demo() -> None:
    """A maker's own bench has no gallery."""
    if not (current_bench().settings.demo or current_app.testing):
        abort(404)


@blueprint.get("/")
def show() -> Response:
    """All sheets of the gallery."""
    return page("look/index.html", sheets=gallery.SHEETS)


@blueprint.get("/<sheet>")
def sheet(sheet: str) -> Response:
    """One sheet."""
    if sheet not in gallery.SHEETS:
        abort(404)
    form = gallery.refused_form() if sheet == "refused" else gallery.asked_form()
    return page(f"look/{sheet}.html", form=form, status=200, g=gallery)
