"""The sheet of a series: its places in the load, drawn by lot, with crucible, batch and grams, to fill by pencil."""

from flask import Blueprint, Response

from bench.screens.kit.names import line_name
from bench.screens.paper.paper_screen import paper, papers
from bench.screens.planning.series import Place, places, series_or_404
from bench.web.current import current_bench
from bench.web.page import code_text, go, grams
from bench.workshop.things.batches import BatchLine

blueprint = Blueprint("series_sheet", __name__)


@blueprint.get("/print/series/<thing>")
def show(thing: str) -> Response:
    """The page for the printer; as PDF with `?pdf=1`. Where nothing waits for the fire, the series itself says so."""
    plan, found = series_or_404(thing), places(thing)
    if not found:
        return go("series.show", thing=thing)
    factor = f"{plan.factor}, {plan.unit}" if plan.unit else plan.factor
    return paper(
        "series_sheet.html",
        "series",
        back=f"/series/{thing}",
        choice=papers(),
        title=factor,
        rows=[_row(one) for one in found],
    )


def _row(one: Place) -> dict[str, object]:
    return {
        "n": one.n,
        "crucible": code_text(one.crucible),
        "code": code_text(one.view.code),
        "level": one.level,
        "lines": [_line(line) for line in one.view.lines],
    }


def _line(line: BatchLine) -> str:
    here = current_bench()
    return f"{line_name(line.plan, here.state, here.library)} {grams(line.target_g)} g"
