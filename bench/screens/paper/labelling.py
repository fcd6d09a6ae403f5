"""Labels for jars, made pigments and waste, and the list of the shelf."""

from collections.abc import Callable
from pathlib import Path

from flask import Blueprint, Response, abort, request

from bench.printing.fitting import by_size
from bench.printing.jar_labels import JarLabel, jar_label, pigment_label, waste_label
from bench.printing.label_sheets import Group, by_room, content_of, fitted
from bench.printing.sheets import Sheet
from bench.reckoning.rules import DEFER
from bench.records.state import State
from bench.reference import Library
from bench.screens.kit.steps import thing_path
from bench.screens.paper.paper_screen import Choice, paper, papers, set_apart
from bench.screens.paper.printing import sheets, too_small, usual_sheet
from bench.settings import asset_folder
from bench.web import preferences
from bench.web.current import current_bench
from bench.web.moments import date_text
from bench.web.page import grams
from bench.web.words import _
from bench.workshop.things.jars import jar

EACH = "{}-each"
LADDERS = {"a4-each": ("a4-8", "a4-4", "a4-2"), "letter-each": ("letter-6", "letter-4", "letter-2")}
"""The sheets of one paper from small to large, where each label goes on the first that has room for it."""
blueprint = Blueprint("labelling", __name__, url_prefix="/print")

LABELS: dict[str, Callable[[State, str, Library], JarLabel | None]] = {
    "jar": jar_label,
    "pigment": pigment_label,
    "waste": waste_label,
}


@blueprint.get("/labels")
def labels() -> Response:
    """Labels for the things that are named (`thing`), or for every jar (`all`), on a sheet (`sheet`) from a place
    (`start`)."""
    state, library = current_bench().state, current_bench().library
    found = []
    things = state.open_things("jar") if "all" in request.args else request.args.getlist("thing")
    for thing in things:
        make = LABELS.get(state.sort_of(thing) or "")
        made = make(state, thing, library) if make else None
        if made is not None:
            found.append(made)
    asked = request.args.get("sheet", EACH.format(preferences.paper()))
    ladder = [sheets()[slug] for slug in LADDERS[asked]] if asked in LADDERS else _one(asked)
    start = request.args.get("start", "1")
    if not found or not ladder or not start.isdecimal() or not 1 <= int(start) <= ladder[0].places:
        abort(404)
    groups, without = _laid(found, ladder, int(start))
    if without is not None:
        return _too_small(without, ladder[-1], len(found) > 1)
    begins = min(int(start), groups[0][0].places)
    alone = len(things) == 1 and "all" not in request.args
    back = thing_path(state.sort_of(things[0]), things[0]) if alone else "/print"
    content = content_of(groups, begins, _sprite())
    return paper("jar_labels.html", "labels", back=back, choice=_choice(asked), **content)


def _laid(found: list[JarLabel], ladder: list[Sheet], start: int) -> tuple[list[Group], JarLabel | None]:
    """The labels on the sheet that was asked for, or each on the smallest of a ladder that holds every letter."""
    if len(ladder) > 1:
        return set_apart(by_room, found, ladder, start, asset_folder("labels"), _sprite())
    laid, without = set_apart(fitted, found, ladder[0], start, asset_folder("labels"), _sprite())
    return [(ladder[0], laid)], without


def _one(slug: str) -> list[Sheet]:
    return [sheets()[slug]] if slug in sheets() else []


def _choice(asked: str) -> Choice:
    """The sheets to choose from, after the choice of no one size for all."""
    each = [
        (EACH.format("a4"), _("A4, sizes to fit")),
        (EACH.format("letter"), _("Letter, sizes to fit")),
    ]
    return Choice(asked, [*each, *((one.slug, _(one.words)) for one in sheets().values())])


def _sprite() -> Path:
    return asset_folder("static") / "icons" / "sprite.svg"


def _too_small(label: JarLabel, sheet: Sheet, several: bool) -> Response:
    """The text does not fit: never cut off a hazard. The smallest size that fits is named, and one tap away; of several
    labels each goes on its own."""
    fitting = _next_size(label, sheet)
    if fitting is None:
        say = _("The text of {name} fits on no label size here.", name=label.name)
    else:
        say = _("The text of {name} does not fit on {size}.", name=label.name, size=_(sheet.words))
    if fitting is None:
        return too_small(say)
    letter = fitting.page_width == sheets()[LADDERS["letter-each"][0]].page_width
    slug = EACH.format("letter" if letter else "a4") if several else fitting.slug
    return too_small(say, fitting, _query(slug), several)


def _next_size(label: JarLabel, sheet: Sheet) -> Sheet | None:
    """The smallest larger size that holds a label: of the same paper first, then of the paper that was used last."""
    usual = sheets()[usual_sheet("label")]
    bigger = [s for s in by_size(sheets()) if s.width * s.height > sheet.width * sheet.height]
    bigger.sort(key=lambda one: (one.page_width != sheet.page_width, one.page_width != usual.page_width))
    return next((s for s in bigger if _fits(label, s)), None)


def _fits(label: JarLabel, sheet: Sheet) -> bool:
    return set_apart(fitted, [label], sheet, 1, asset_folder("labels"), _sprite())[1] is None


def _query(slug: str) -> str:
    if "all" in request.args:
        return f"/print/labels?sheet={slug}&all=1"
    things = "&".join(f"thing={t}" for t in request.args.getlist("thing") if len(t) == 26 and t.isalnum())
    return f"/print/labels?sheet={slug}&{things}"


@blueprint.get("/shelf")
def shelf() -> Response:
    """The list of all jars on the shelf."""
    here = current_bench()
    rows = []
    for thing in here.state.open_things("jar"):
        view, label = jar(here.state, thing), jar_label(here.state, thing, here.library)
        if view is None or label is None:
            continue
        left = "–" if view.left_g is None else f"{grams(view.left_g)} g"
        rows.append(
            {
                "words": label.words,
                "name": label.name,
                "formula": label.formula,
                "lot": view.opened.lot or "–",
                "assay": f"{view.opened.assay_pct:.4g} %",
                "left": left,
                "hazards": " ".join(code for code, _text in label.statements) or label.note or "–",
            }
        )
    rows.sort(key=lambda row: row["name"].casefold())
    date = date_text(here.now_ms(), here.zone_min())
    return paper("shelf_list.html", "shelf", back="/shelf", choice=papers(), jars=rows, date=date, defer=DEFER)
