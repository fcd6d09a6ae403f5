"""The screen where day or night and the hand are chosen: a plain form that sets a cookie."""

from flask import Blueprint, Response, make_response, redirect, request

from bench.web import preferences
from bench.web.forms import blank
from bench.web.own_paths import own_path
from bench.web.page import page
from bench.web.preferences import HANDS, THEMES
from bench.web.preferences import keep as keep_taste

blueprint = Blueprint("looks", __name__, url_prefix="/looks")


@blueprint.get("/")
def show() -> Response:
    """The choice of theme and hand."""
    chosen = blank(theme=preferences.theme(), hand=preferences.hand())
    back = own_path(request.args.get("back", "/"))
    return page("looks/show.html", form=chosen, back=back, themes=THEMES, hands=HANDS)


@blueprint.post("/")
def keep() -> Response:
    """Keep the choice on this browser and go back to where it was made."""
    answer = make_response(redirect(own_path(request.form.get("back", "/")), 303))
    for name, allowed in (("theme", THEMES), ("hand", HANDS)):
        value = request.form.get(name, "")
        if value in allowed:
            keep_taste(answer, name, value)
    return answer
