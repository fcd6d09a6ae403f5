"""Measures a printed page beyond its symbols: where its lines of words and its boxes stand, and what lies over what.

The words are those that the PDF itself holds, with their boxes; the boxes of the page are measured from its ink.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any

import numpy as np

from tests.measure.printed import DARK, DPI, MM_PER_INCH, pages_of

MM_PER_PT = MM_PER_INCH / 72
REACH_MM = 0.4
"""So far from where it ought to be an edge is looked for: not as far as to the next ink."""
TOUCH_MM = 0.3
"""So far may the boxes of two lines reach into each other: an accent over a descender."""


@dataclass(frozen=True)
class Box:
    """A rectangle on a page that is counted from 0. Lengths in mm from the page's left top corner."""

    page: int
    left: float
    top: float
    right: float
    bottom: float

    def shares(self, other: "Box") -> float:
        """How far two boxes reach into each other in both directions; 0 where they do not."""
        if self.page != other.page:
            return 0.0
        across = min(self.right, other.right) - max(self.left, other.left)
        down = min(self.bottom, other.bottom) - max(self.top, other.top)
        return max(0.0, min(across, down))

    def holds(self, other: "Box") -> bool:
        """Whether the other lies wholly inside, to a tenth of a millimetre."""
        edges = (other.left - self.left, other.top - self.top, self.right - other.right, self.bottom - other.bottom)
        return self.page == other.page and min(edges) > -0.1


@dataclass(frozen=True)
class Line:
    """A run of words as the PDF holds it."""

    words: str
    box: Box


def lines_on(pdf: bytes) -> list[Line]:
    """Every run of words on all pages, with the box of its letters."""
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf)
    found: list[Line] = []
    for number, page in enumerate(document):
        height, text = page.get_height(), page.get_textpage()
        for each in range(text.count_rects()):
            left, bottom, right, top = text.get_rect(each)
            box = Box(number, *(v * MM_PER_PT for v in (left, height - top, right, height - bottom)))
            found.append(Line(text.get_text_bounded(left, bottom, right, top).strip(), box))
    document.close()
    return found


def overlaps(lines: Sequence[Line], solid: Sequence[Box], page_mm: tuple[float, float]) -> list[str]:
    """What is wrong with where words lie: over each other, half over a solid box or symbol, or off the page."""
    wrong = [
        f"{one.words!r} over {two.words!r}"
        for one, two in combinations([line for line in lines if line.words], 2)
        if one.box.shares(two.box) > TOUCH_MM
    ]
    wrong += [
        f"{line.words!r} into a box"
        for line in lines
        for box in solid
        if line.words and line.box.shares(box) > TOUCH_MM and not box.holds(line.box)
    ]
    whole = [Box(page, 0.0, 0.0, *page_mm) for page in {line.box.page for line in lines}]
    return wrong + [f"{line.words!r} off the page" for line in lines if not any(p.holds(line.box) for p in whole)]


def inks_of(pdf: bytes) -> list[Any]:
    """The dark dots of every page."""
    return [np.asarray(picture) < DARK for picture in pages_of(pdf)]


def edges_off(inks: Sequence[Any], box: Box, *, line: bool = False) -> float:
    """The worst error in mm of the four edges of a dark box; with `line`, of the middles of the four lines round it."""
    ink, across, down = inks[box.page], (box.left + box.right) / 2, (box.top + box.bottom) / 2
    found = []
    for at, cut, outward in (
        (box.left, _row(ink, down), -1),
        (box.right, _row(ink, down), 1),
        (box.top, _column(ink, across), -1),
        (box.bottom, _column(ink, across), 1),
    ):
        found.append(_off(cut, at, outward, line))
    return max(found)


def _row(ink: Any, y_mm: float) -> Any:
    return ink[round(y_mm * DPI / MM_PER_INCH)]


def _column(ink: Any, x_mm: float) -> Any:
    return ink[:, round(x_mm * DPI / MM_PER_INCH)]


def _off(cut: Any, at_mm: float, outward: int, line: bool) -> float:
    """How far the outermost ink of a cut is from where it ought to be, or the middle of its ink; the reach if none."""
    dots = DPI / MM_PER_INCH
    first = max(0, round((at_mm - REACH_MM) * dots))
    dark = np.nonzero(cut[first : round((at_mm + REACH_MM) * dots)])[0]
    if len(dark) == 0:
        return REACH_MM
    ends = (first + dark.min()) / dots, (first + dark.max() + 1) / dots
    place = sum(ends) / 2 if line else ends[0] if outward < 0 else ends[1]
    return float(abs(place - at_mm))
