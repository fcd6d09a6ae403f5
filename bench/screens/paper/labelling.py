"""Labels for jars, made pigments and waste, and the list of the shelf."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from flask import Blueprint, Response, abort, request

from bench.printing.fitting import by_size
from bench.printing.jar_labels import JarLabel, jar_label, pigment_label, waste_label
from bench.printing.label_sheets import fitted, label_content
from bench.printing.sheets import Sheet
from bench.reckoning.rules import DEFER
from bench.records.state import State
from bench.reference import Library
from bench.screens.kit.steps import thing_path
from bench.screens.paper.paper_screen import paper, papers, set_apart
from bench.screens.paper.printing import choice, sheets, too_small, usual_sheet
from bench.settings import asset_folder
from bench.web.current import current_bench
from bench.web.moments import date_text
from bench.web.page import grams
from bench.web.words import _
from bench.workshop.things.jars import jar

blueprint = Blueprint("labelling", __name__, url_prefix="/print")

LABELS: dict[str, Callable[[State, str, Library], JarLabel | None]] = {
    "jar": jar_label,
    "pigment": pigment_label,
    "waste": waste_label,
}


@blueprint.get("/labels")
def labels() -> Response:
    """Labels for the things that are named (`thing`), on a sheet (`sheet`) from a place (`start`)."""
    state, library = current_bench().state, current_bench().library
    found = []
    for thing in (things := request.args.getlist("thing")):
        make = LABELS.get(state.sort_of(thing) or "")
        made = make(state, thing, library) if make else None
        if made is not None:
            found.append(made)
    usual = usual_sheet("large-label" if any(label.band for label in found) else "label")
    sheet = sheets().get(request.args.get("sheet", usual))
    start = request.args.get("start", "1")
    if not found or sheet is None or not start.isdecimal() or not 1 <= int(start) <= sheet.places:
        abort(404)
    laid, without = set_apart(fitted, found, sheet, int(start), asset_folder("labels"), _sprite())
    if without is not None and "sheet" not in request.args and (roomy := _next_size(without, sheet)) is not None:
        # No size was asked for: the next one that holds every letter is taken at once.
        sheet, start = roomy, min(start, str(roomy.places), key=int)
        laid, without = set_apart(fitted, found, sheet, int(start), asset_folder("labels"), _sprite())
    if without is not None:
        return _too_small(without, sheet)
    back = thing_path(state.sort_of(things[0]), things[0]) if len(things) == 1 else "/print"
    return paper("jar_labels.html", "labels", back=back, choice=choice(sheet), **_content(laid, sheet, int(start)))


def _sprite() -> Path:
    return asset_folder("static") / "icons" / "sprite.svg"


def _content(found: list[JarLabel], sheet: Sheet, start: int) -> dict[str, Any]:
    return label_content(found, sheet, start, _sprite())


def _too_small(label: JarLabel, sheet: Sheet) -> Response:
    """The text does not fit: never cut off a hazard. The smallest size that fits is named, and one tap away."""
    fitting = _next_size(label, sheet)
    if fitting is None:
        say = _("The text of {name} fits on no label size here.", name=label.name)
    else:
        say = _("The text of {name} does not fit on {size}.", name=label.name, size=_(sheet.words))
    return too_small(say, fitting, _query(fitting))


def _next_size(label: JarLabel, sheet: Sheet) -> Sheet | None:
    """The smallest larger size that holds a label: of the same paper first, then of the paper that was used last."""
    usual = sheets()[usual_sheet("label")]
    bigger = [s for s in by_size(sheets()) if s.width * s.height > sheet.width * sheet.height]
    bigger.sort(key=lambda one: (one.page_width != sheet.page_width, one.page_width != usual.page_width))
    return next((s for s in bigger if _fits(label, s)), None)


def _fits(label: JarLabel, sheet: Sheet) -> bool:
    return set_apart(fitted, [label], sheet, 1, asset_folder("labels"), _sprite())[1] is None


def _query(sheet: Sheet | None) -> str:
    things = "&".join(f"thing={t}" for t in request.args.getlist("thing") if len(t) == 26 and t.isalnum())
    return f"/print/labels?sheet={sheet.slug}&{things}" if sheet else "/print"


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
