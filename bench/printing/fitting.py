"""Whether text fits its place, measured on the page as it is set, never guessed from a count of letters.

Where a computer cannot set a page (it has no Pango), nothing can be measured: the first choice is taken, and the
browser shows what runs over.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from bench.printing.paper import can_set, rendered
from bench.printing.sheets import Sheet

PX_PER_MM = 96 / 25.4
SLACK_MM = 0.2
FAR = 2


@dataclass(frozen=True)
class Set:
    """Where an element is set: its page, counted from 0, its left top corner with its borders, and its sides, in mm."""

    page: int
    left: float
    top: float
    width: float
    height: float


@dataclass(frozen=True)
class Laid:
    """A page of HTML as it is set: on how many pages, and where each element stands, with its classes."""

    pages: int
    places: tuple[tuple[frozenset[str], Set], ...]


@lru_cache(maxsize=32)
def laid(page: str) -> Laid:
    """Sets a page. Kept for a while: what was shown is asked for again as PDF, and setting it is the slow part."""
    sheets = rendered(page).pages
    found = ((number, box) for number, sheet in enumerate(sheets) for box in _boxes(sheet._page_box))
    return Laid(len(sheets), tuple((_classes(box), _place(number, box)) for number, box in found))


def places_mm(page: str, mark: str = "fit") -> list[Set]:
    """Where all elements of a class are set on a page, in their order."""
    return [place for classes, place in laid(page).places if mark in classes]


def _place(number: int, box: Any) -> Set:
    sides = (*_corner(box), box.border_width(), box.border_height())
    return Set(number, *(float(px) / PX_PER_MM for px in sides))


def _corner(box: Any) -> tuple[float, float]:
    return box.border_box_x(), box.border_box_y()


def heights_mm(page: str, mark: str = "fit") -> list[float]:
    """The heights in millimetres of all elements of a class on a page, in their order, as they are set."""
    return [each.height for each in places_mm(page, mark)]


def _classes(box: Any) -> frozenset[str]:
    return frozenset((box.element.get("class") or "").split())


def _boxes(box: Any, around: Any = None) -> Iterator[Any]:
    """The outermost box of each element in a box. What is placed absolutely stands behind a placeholder."""
    box = getattr(box, "_box", box)
    element = getattr(box, "element", None)
    if element is not None and element is not around:
        yield box
    for child in getattr(box, "children", ()):
        yield from _boxes(child, element)


def on_one_page(drafts: Iterable[str], most: int = 1) -> str:
    """The first draft that is set on a single page, or on `most`; the last where none is. ValueError where there is
    no draft.

    Where the first takes far too many pages the last is tried next: seldom does one between them need to be set then.
    """
    ahead = iter(drafts)
    first = next(ahead, None)
    if first is None:
        raise ValueError("there is no draft")
    if not can_set() or laid(first).pages <= most:
        return first
    rest = list(ahead) or [first]
    if laid(first).pages > FAR * most and laid(rest[-1]).pages > most:
        return rest[-1]
    return next((draft for draft in rest if laid(draft).pages <= most), rest[-1])


def by_size(sheets: dict[str, Sheet]) -> list[Sheet]:
    """The sheets with the smallest label first."""
    return sorted(sheets.values(), key=lambda sheet: sheet.width * sheet.height)
