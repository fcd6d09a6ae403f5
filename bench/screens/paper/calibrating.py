"""Setting the printer: a page with rulers, and the offset that each sheet of labels is printed with from then on."""

from typing import Any

from flask import Blueprint, Response, request

from bench.printing.calibrating import ARM_MM, FIGURE_MM, MOST_MM, calibration
from bench.printing.sheets import Sheet
from bench.records.record import BENCH
from bench.screens.paper.paper_screen import paper
from bench.screens.paper.printing import offset_mm, plain_sheets
from bench.web.existing import or_404
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, page
from bench.web.recording import record
from bench.web.words import _

blueprint = Blueprint("calibrating", __name__, url_prefix="/print/calibrate")


@blueprint.get("")
def ask() -> Response:
    """The sheets with their offsets; with `sheet`, the offset of that one."""
    slug = request.args.get("sheet", "")
    if not slug:
        rows = [(sheet, _said(*offset_mm(sheet.slug))) for sheet in plain_sheets().values()]
        return page("print/calibrate_which.html", rows=rows)
    right, down = offset_mm(_sheet(slug).slug)
    return _ask(_sheet(slug), blank(sheet=slug, right_mm=f"{right:g}", down_mm=f"{down:g}"))


def _ask(sheet: Sheet, form: Form) -> Response:
    return page("print/calibrate.html", form=form, sheet=sheet)


def _sheet(slug: str) -> Sheet:
    return or_404(plain_sheets().get(slug))


def _said(right: float, down: float) -> str:
    return _("{right:+.1f} mm right, {down:+.1f} mm down", right=right, down=down) if right or down else _("as it is")


@blueprint.post("")
def keep() -> Response:
    """Keep the offset of one sheet."""
    form = read_form()
    sheet = _sheet(form.typed.get("sheet", ""))
    right = form.number("right_mm", low=-MOST_MM, high=MOST_MM, unit="mm")
    down = form.number("down_mm", low=-MOST_MM, high=MOST_MM, unit="mm")
    if form.ok and right is not None and down is not None:
        data: dict[str, Any] = {"name": f"print_offset_mm.{sheet.slug}", "value": [right, down]}
        if record("setting.changed", BENCH, data, form=form, say=f"{_(sheet.words)}: {_said(right, down)}"):
            return go("calibrating.ask")
    return _ask(sheet, form)


@blueprint.get("/page")
def paper_page() -> Response:
    """The page with the rulers of one sheet."""
    sheet = _sheet(request.args.get("sheet", "a4-24"))
    right, down = offset_mm(sheet.slug)
    made = calibration(sheet, right, down)
    name = f"calibration-{sheet.slug}"
    return paper(
        "calibration.html",
        name,
        back=f"/print/calibrate?sheet={sheet.slug}",
        title=_("Calibration"),
        sheet=sheet,
        page=made,
        arm=ARM_MM,
        figure=FIGURE_MM,
        right_mm=right,
        down_mm=down,
    )
