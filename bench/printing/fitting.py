"""Whether text fits its place, measured on the page as it is set, never guessed from a count of letters.

Where a computer cannot set a page (it has no Pango), nothing can be measured: the first choice is taken, and the
browser shows what runs over.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from bench.printing.paper import can_set, rendered
from bench.printing.sheets import Sheet

PX_PER_MM = 96 / 25.4
SLACK_MM = 0.2


@dataclass(frozen=True)
class Set:
    """Where an element is set: its page, counted from 0, its left top corner with its borders, and its sides, in mm."""

    page: int
    left: float
    top: float
    width: float
    height: float


def places_mm(page: str, mark: str = "fit") -> list[Set]:
    """Where all elements of a class are set on a page, in their order."""
    return [
        Set(number, *(float(value) / PX_PER_MM for value in (*_corner(box), box.border_width(), box.border_height())))
        for number, sheet in enumerate(rendered(page).pages)
        for box in _boxes(sheet._page_box)
        if mark in _classes(box)
    ]


def _corner(box: Any) -> tuple[float, float]:
    return box.border_box_x(), box.border_box_y()


def heights_mm(page: str, mark: str = "fit") -> list[float]:
    """The heights in millimetres of all elements of a class on a page, in their order, as they are set."""
    return [each.height for each in places_mm(page, mark)]


def _classes(box: Any) -> list[str]:
    element = getattr(box, "element", None)
    return (element.get("class") or "").split() if element is not None else []


def _boxes(box: Any, around: Any = None) -> Iterator[Any]:
    """The outermost box of each element in a box. What is placed absolutely stands behind a placeholder."""
    box = getattr(box, "_box", box)
    element = getattr(box, "element", None)
    if element is not None and element is not around:
        yield box
    for child in getattr(box, "children", ()):
        yield from _boxes(child, element)


def fits(page: str, room_mm: float) -> bool:
    """Whether everything of class `fit` is set within a height."""
    return not can_set() or max(heights_mm(page), default=0.0) <= room_mm + SLACK_MM


def on_one_page(drafts: Iterable[str]) -> str:
    """The first draft that is set on a single page, or the last where none is. ValueError where there is none."""
    draft = ""
    for draft in drafts:
        if not can_set() or len(rendered(draft).pages) == 1:
            return draft
    if not draft:
        raise ValueError("there is no draft")
    return draft


def by_size(sheets: dict[str, Sheet]) -> list[Sheet]:
    """The sheets with the smallest label first."""
    return sorted(sheets.values(), key=lambda sheet: sheet.width * sheet.height)
