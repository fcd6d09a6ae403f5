"""How much of each element stands on the shelf, over all jars."""

from math import fsum
from typing import Any

from flask import Blueprint, Response

from bench.science.element_names import ELEMENT_NAMES
from bench.screens.kit.names import reagent_name
from bench.web.current import current_bench
from bench.web.page import grams, grams_span, page
from bench.web.words import _
from bench.workshop.costing import Held, element_stock

blueprint = Blueprint("elements", __name__, url_prefix="/shelf/elements")

EVERYWHERE = ("H", "C", "N", "O")
"""What nobody looks for on a shelf of mineral reagents."""


@blueprint.get("")
def show() -> Response:
    """Every element with its jars, by name."""
    here = current_bench()
    stock = element_stock(here.state, here.library)
    rows = [_row(symbol, held) for symbol, held in stock.items() if symbol not in EVERYWHERE]
    return page("shelf/elements.html", rows=sorted(rows, key=lambda row: row["name"].casefold()))


def _row(symbol: str, held: list[Held]) -> dict[str, Any]:
    known = [one.g for one in held if one.g is not None]
    return {
        "symbol": symbol,
        "name": ELEMENT_NAMES.get(symbol, symbol),
        "total": grams(fsum(known)) if known else None,
        "unknown": len(held) - len(known),
        "jars": [_jar(one) for one in held],
    }


def _jar(one: Held) -> dict[str, Any]:
    name = reagent_name(one.jar.name, current_bench().library)
    if one.g is None:
        say = _("{name}: not known how much is left", name=name)
    elif one.low_g is not None and one.high_g is not None:
        say = _("{name}: {span} g, its water is not known", name=name, span=grams_span((one.low_g, one.high_g)))
    else:
        say = _("{name}: {g} g", name=name, g=grams(one.g))
    return {"id": one.jar.id, "say": say}
