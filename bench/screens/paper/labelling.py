"""Labels for jars, made pigments and waste, and the list of the shelf."""

from collections.abc import Callable
from typing import Any

from flask import Blueprint, Response, abort, request

from bench.printing.fitting import by_size, fits
from bench.printing.jar_labels import JarLabel, jar_label, pigment_label, waste_label
from bench.printing.label_sheets import label_content, room_mm
from bench.printing.paper import html
from bench.printing.sheets import Sheet
from bench.reckoning.rules import DEFER
from bench.records.state import State
from bench.reference import Library
from bench.screens.paper.printing import paper, set_apart, sheets, too_small
from bench.settings import asset_folder
from bench.web.current import bench
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
    state, library = bench().state, bench().library
    found = []
    for thing in request.args.getlist("thing"):
        make = LABELS.get(state.sort_of(thing) or "")
        made = make(state, thing, library) if make else None
        if made is not None:
            found.append(made)
    sheet = sheets().get(request.args.get("sheet", "a4-8"))
    start = request.args.get("start", "1")
    if not found or sheet is None or not start.isdecimal() or not 1 <= int(start) <= sheet.places:
        abort(404)
    for label in found:
        if not set_apart(fits, _set([label], sheet, 1), room_mm(sheet)):
            return _too_small(label, sheet)
    return paper("jar_labels.html", "labels", **_content(found, sheet, int(start)))


def _content(found: list[JarLabel], sheet: Sheet, start: int) -> dict[str, Any]:
    return label_content(found, sheet, start, asset_folder("static") / "icons" / "sprite.svg")


def _set(found: list[JarLabel], sheet: Sheet, start: int) -> str:
    return html(asset_folder("labels"), "jar_labels.html", **_content(found, sheet, start))


def _too_small(label: JarLabel, sheet: Sheet) -> Response:
    """The text does not fit: never cut off a hazard. The smallest size that fits is named, and one tap away."""
    bigger = [s for s in by_size(sheets()) if s.width * s.height > sheet.width * sheet.height]
    fitting = next((s for s in bigger if set_apart(fits, _set([label], s, 1), room_mm(s))), None)
    if fitting is None:
        say = _("The text of {name} fits on none of the labels here.", name=label.name)
    else:
        say = _("The text of {name} does not fit on {size}.", name=label.name, size=_(sheet.words))
    return too_small(say, fitting, _query(fitting))


def _query(sheet: Sheet | None) -> str:
    things = "&".join(f"thing={t}" for t in request.args.getlist("thing") if len(t) == 26 and t.isalnum())
    return f"/print/labels?sheet={sheet.slug}&{things}" if sheet else "/print"


@blueprint.get("/shelf")
def shelf() -> Response:
    """The list of all jars on the shelf."""
    here = bench()
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
    return paper("shelf_list.html", "shelf", jars=rows, date=date, defer=DEFER)
