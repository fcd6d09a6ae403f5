"""What came out of a jar: every batch with some of it, and by how much it is off, then and now."""

from typing import Any

from flask import Blueprint, Response

from bench.screens.kit.found import jar_or_404
from bench.screens.kit.names import reagent_name
from bench.screens.kit.thing_label import thing_label
from bench.web.current import current_bench
from bench.web.page import grams, page
from bench.web.words import _
from bench.workshop.from_jar import Touched, out_of

blueprint = Blueprint("jar_out", __name__)

MOST = 60


@blueprint.get("/jar/<thing>/out")
def show(thing: str) -> Response:
    """All that came of a jar."""
    here = current_bench()
    view = jar_or_404(thing)
    found = out_of(here.state, thing, here.library)
    return page(
        "jar/out.html",
        jar=view,
        name=reagent_name(view.opened.reagent, here.library),
        rows=[_row(one) for one in found[:MOST]],
        more=max(0, len(found) - MOST),
        changed=any(one.changed for one in found),
    )


def _row(one: Touched) -> dict[str, Any]:
    then, now = _pct(one.then_pct), _pct(one.now_pct)
    return {
        "id": one.view.id,
        "name": one.view.name,
        "code": one.view.code,
        "g": grams(one.g),
        "changed": one.changed,
        "assay": (f"{one.assay_then_pct:.4g} %", f"{one.assay_now_pct:.4g} %"),
        "off": (then, now),
        "things": [thing_label(thing) for thing in one.things],
    }


def _pct(value: float | None) -> str:
    return "–" if value is None else _("exact") if value < 0.05 else f"{value:.1f} %"
