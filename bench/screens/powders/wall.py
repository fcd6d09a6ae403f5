"""The wall of swatches: each by its measured colour or its photo, in the order that was asked for."""

from typing import Any
from urllib.parse import urlencode

from flask import Blueprint, Response, request

from bench.science.colour import lab_to_srgb_hex
from bench.science.element_names import ELEMENT_NAMES
from bench.science.formulas import atoms_of
from bench.screens.kit.thing_label import pigment_name
from bench.web.current import current_bench
from bench.web.page import page
from bench.web.paging import paged
from bench.web.words import _
from bench.workshop.wall import ORDERS, Spot, wall

blueprint = Blueprint("wall", __name__)

ORDER_WORDS = {"hue": _("Hue"), "value": _("Value"), "date": _("Newest")}
A_WALL, MOST_TYPED = 48, 120


@blueprint.get("/swatches/wall")
def show() -> Response:
    """A page of the wall."""
    state = current_bench().state
    by = request.args.get("by", "hue")
    by = by if by in ORDERS else "hue"
    element = request.args.get("element", "")
    element = element if element in ELEMENT_NAMES else ""
    typed = request.args.get("q", "").strip()[:MOST_TYPED]
    part = paged(wall(state, by, element, typed), A_WALL)
    held = _held()
    return page(
        "swatch/wall.html",
        part=part,
        chips=[_chip(one) for one in part.found],
        orders=[(order, words, _path(by=order, element=element, q=typed)) for order, words in ORDER_WORDS.items()],
        by=by,
        typed=typed,
        element=element,
        elements=[(symbol, name) for symbol, name in ELEMENT_NAMES.items() if symbol in held],
        onward=[(words, _path(by=by, element=element, q=typed, **{"from": str(at)})) for words, at in _ways(part)],
    )


def _path(**asked: str) -> str:
    return f"/swatches/wall?{urlencode({name: value for name, value in asked.items() if value})}"


def _ways(part: Any) -> list[tuple[str, int]]:
    found = [(_("Before"), part.later), (_("More"), part.earlier)]
    return [(words, at) for words, at in found if at is not None]


def _held() -> set[str]:
    """The elements that the jars and the plans of this bench hold."""
    stock: set[str] = current_bench().state.memoize("wall-elements", _elements)
    return stock


def _elements() -> set[str]:

    state = current_bench().state
    plans = (state.slot(thing, "batch.planned").body for thing in state.things("batch"))
    found: set[str] = set()
    for formula in {line.formula for plan in plans if plan is not None for line in plan.lines}:
        found |= set(atoms_of(formula))
    return found - {"H", "C", "N", "O"}


def _chip(one: Spot) -> dict[str, Any]:
    name = pigment_name(one.pigment) or _("Swatch")
    return {
        "id": one.id,
        "name": _("{name}, tint", name=name) if one.tint else name,
        "fill": lab_to_srgb_hex(one.lab).hex if one.lab is not None else None,
        "photo": one.photo,
    }
