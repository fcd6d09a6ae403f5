"""Whether text fits its label, measured on the page as it is set, never guessed from a count of letters."""

from collections.abc import Iterator
from typing import Any

from bench.printing.sheets import Sheet

PX_PER_MM = 96 / 25.4
SLACK_MM = 0.2


def tallest_mm(page: str) -> float:
    """The height in millimetres of the tallest element of class `fit` on a page, as it is set. 0 when there is none."""
    from weasyprint import HTML

    tallest = 0.0
    for sheet in HTML(string=page).render().pages:
        for box in _boxes(sheet._page_box):
            element = getattr(box, "element", None)
            if element is not None and "fit" in (element.get("class") or "").split():
                tallest = max(tallest, float(box.height) / PX_PER_MM)
    return tallest


def _boxes(box: Any) -> Iterator[Any]:
    """A box and all boxes in it. What is placed absolutely stands behind a placeholder, which is opened."""
    box = getattr(box, "_box", box)
    yield box
    for child in getattr(box, "children", ()):
        yield from _boxes(child)


def fits(page: str, room_mm: float) -> bool:
    """Whether everything of class `fit` is set within a height."""
    return tallest_mm(page) <= room_mm + SLACK_MM


def by_size(sheets: dict[str, Sheet]) -> list[Sheet]:
    """The sheets with the smallest label first."""
    return sorted(sheets.values(), key=lambda sheet: sheet.width * sheet.height)
