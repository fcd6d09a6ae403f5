"""Cards of known patches: each entered once, with the CIELAB values that its maker or a meter gives."""

import re
from typing import Any

from flask import Blueprint, Response

from bench.science.photo_colour import FEWEST_PATCHES
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.numbers import read_number
from bench.web.own_paths import own_path
from bench.web.page import go, page
from bench.web.recording import record
from bench.web.words import _

blueprint = Blueprint("cards", __name__, url_prefix="/cards")

MOST_PATCHES = 140
AXES = ((0.0, 100.0), (-150.0, 150.0), (-150.0, 150.0))
LINE = re.compile(r"^(?P<name>.*?)[\s;,]*(?P<l>-?[\d.]+)[\s;,]+(?P<a>[-−–]?[\d.]+)[\s;,]+(?P<b>[-−–]?[\d.]+)\s*$")


@blueprint.get("")
def home() -> Response:
    """The cards that are known."""
    state = current_bench().state
    found = [(thing, state.slot(thing, "colour.card").body) for thing in state.things("colour-card")]
    return page("cards/home.html", cards=[(thing, body) for thing, body in found if body is not None])


@blueprint.route("/new", methods=["GET"])
def ask() -> Response:
    """A new card."""
    return _ask(blank(white="D50", columns="1"))


def _ask(form: Form) -> Response:
    return page("cards/new.html", form=form)


@blueprint.post("/new")
def keep() -> Response:
    """Keep a card: a grey alone, or six patches and more."""
    form = read_form()
    patches = _patches(form)
    columns = form.whole("columns", low=1, high=MOST_PATCHES)
    data: dict[str, Any] = {
        "name": form.text("name", max_len=80, required=True),
        "patches": patches,
        "columns": columns,
        "white": form.choice("white", ("D50", "D65")),
        "source": form.text("source", max_len=200),
    }
    if columns is not None and patches and len(patches) % columns:
        form.refuse(_("{n} patches do not fill rows of {columns}.", n=len(patches), columns=columns), "columns")
    if form.ok and record("colour.card", None, data, form=form, say=_("Card saved: {name}", name=data["name"])):
        back = own_path(form.typed.get("back") or "/cards")
        return go("cards.home") if back == "/cards" else _to(back)
    return _ask(form)


def _to(path: str) -> Response:
    from flask import make_response, redirect

    return make_response(redirect(path, 303))


def _patches(form: Form) -> list[dict[str, Any]]:
    """A patch a line: its name, L*, a*, b*."""
    lines = [one for one in (form.text("patches", required=True, lines=True) or "").splitlines() if one.strip()]
    found = []
    for n, line in enumerate(lines, 1):
        match = LINE.match(line.strip())
        if match is None:
            form.refuse(_("Line {n}: type a name and three numbers, such as: red 42 68 48.", n=n), "patches")
            return []
        with form.beside("patches"):
            numbers = [match["l"], match["a"], match["b"]]
            lab = [read_number(one, low=low, high=high) for one, (low, high) in zip(numbers, AXES, strict=True)]
            found.append({"name": match["name"].strip(" ;,") or str(n), "lab": lab})
    if found and len(found) != 1 and not FEWEST_PATCHES <= len(found) <= MOST_PATCHES:
        form.refuse(_("A card has one grey patch, or at least {n} patches.", n=FEWEST_PATCHES), "patches")
    return found
