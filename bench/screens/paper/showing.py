"""Show a friend: chosen swatches on one page, on paper or as a picture, with the recipe and its code."""

from functools import partial
from urllib.parse import urlencode

from flask import Blueprint, Response, abort, request

from bench.printing.paper import can_set
from bench.printing.show_sheet import PICTURE_DPI, PREVIEW_DPI, as_picture, show_page
from bench.science.refusal import Refusal
from bench.screens.paper.paper_screen import document, set_apart, templates
from bench.screens.paper.show_content import Asked, content, name_of, title_of
from bench.web.current import current_bench
from bench.web.forms import blank
from bench.web.page import page
from bench.web.words import _
from bench.workshop.things.swatches import swatch

blueprint = Blueprint("showing", __name__, url_prefix="/show")

MOST, MOST_LISTED = 6, 24
TITLE_MAX, WORDS_MAX = 80, 400
OPTIONS = {
    "recipe": (_("The recipe"), _("reagents, heat, cooling")),
    "amounts": (_("Its amounts"), _("else the reagents alone")),
    "curve": (_("The firing curve"), ""),
    "code": (_("The recipe as a code"), _("another bench scans it; only with its amounts")),
    "notes": (_("Your notes and verdicts"), ""),
    "lots": (_("The lots of the jars"), ""),
}
AT_FIRST = frozenset({"recipe", "amounts", "curve", "code"})
"""What is ticked until somebody chose: nothing that was written for oneself."""


@blueprint.get("")
def ask() -> Response:
    """What goes onto the page, and how it will look."""
    state = current_bench().state
    asked = _asked()
    others = [one for one in (swatch(state, t) for t in state.things("swatch")[::-1][:MOST_LISTED]) if one is not None]
    known = {one.id: one for one in [*asked.swatches, *others]}
    return page(
        "print/show.html",
        form=blank(title=asked.title or (title_of(asked.swatches) if asked.swatches else ""), words=asked.words),
        swatches=[(one.id, name_of(one), one in asked.swatches) for one in known.values()],
        options=[(name, words, more, name in asked.also) for name, (words, more) in OPTIONS.items()],
        query=_query(asked) if asked.swatches else "",
        can_set=can_set(),
    )


def _asked() -> Asked:
    """What the address asks for; where it comes from no form of ours, what is usual."""
    picked = [name.removeprefix("pick.") for name in request.args if name.startswith("pick.")][:MOST]
    views = [view for thing in picked if (view := swatch(current_bench().state, thing)) is not None]
    named = frozenset(name for name in OPTIONS if request.args.get(name))
    return Asked(
        tuple(views),
        named if named or request.args.get("chosen") else AT_FIRST,
        " ".join(request.args.get("title", "").split())[:TITLE_MAX],
        " ".join(request.args.get("words", "").split())[:WORDS_MAX],
    )


def _query(asked: Asked) -> str:
    told = {f"pick.{one.id}": "1" for one in asked.swatches} | dict.fromkeys(sorted(asked.also), "1")
    return urlencode(told | {"chosen": "1", "title": asked.title, "words": asked.words})


@blueprint.get("/sheet")
def sheet() -> Response:
    """The page for the printer; as PDF with `?pdf=1`."""
    return document(_html(), "swatches", back=f"/show?{_query(_asked())}")


@blueprint.get("/sheet.png")
def sheet_picture() -> Response:
    """The same page as a picture; smaller with `?small=1`."""
    small = bool(request.args.get("small"))
    try:
        data = set_apart(as_picture, _html(), PREVIEW_DPI if small else PICTURE_DPI)
    except Refusal as refusal:
        return page("print/refused.html", say=refusal.say, status=422)
    answer = Response(data, mimetype="image/png")
    how = "inline" if small else "attachment"
    answer.headers["Content-Disposition"] = f'{how}; filename="swatches.png"'
    answer.headers["Cache-Control"] = "no-store"
    return answer


def _html() -> str:
    asked = _asked()
    if not asked.swatches:
        abort(404)
    made, curve = content(asked)
    return str(set_apart(partial(show_page, templates(), made, curve)))
