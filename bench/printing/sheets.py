"""Sheets of labels: where each label stands, in millimetres, from `labels/sizes.toml`."""

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from bench.science.refusal import Refusal
from bench.translation import _

REACH_MM, ROLL_MM = 5.0, 100.0
"""So near its edges a printer of sheets may fail to print. A page narrower than 100 mm is of a roll, printed wholly."""


@dataclass(frozen=True)
class Sheet:
    """A page of equal labels. All lengths in millimetres. `off_right`, `off_down`: so far it is moved for a printer."""

    slug: str
    words: str
    page_width: float
    page_height: float
    columns: int
    rows: int
    left: float
    top: float
    width: float
    height: float
    across: float
    down: float
    symbol_version: int
    dots_per_module: int
    off_right: float = 0.0
    off_down: float = 0.0

    @property
    def places(self) -> int:
        return self.columns * self.rows

    @property
    def reach_mm(self) -> float:
        """How far from the edges of the page all ink has to stay."""
        return REACH_MM if self.page_width > ROLL_MM else 0.0

    @property
    def edges(self) -> tuple[float, float]:
        """The least distance of any label from the left or right edge of the page, and from its top or bottom."""
        left, top = self.left - self.off_right, self.top - self.off_down
        right = self.page_width - left - (self.columns - 1) * self.across - self.width
        bottom = self.page_height - top - (self.rows - 1) * self.down - self.height
        return min(left, right), min(top, bottom)

    def corner(self, place: int) -> tuple[float, float]:
        """The left top corner of a place, counted from 0 along the rows."""
        row, column = divmod(place, self.columns)
        return self.left + column * self.across, self.top + row * self.down


@cache
def load_sheets(folder: Path) -> dict[str, Sheet]:
    """The sheets that `sizes.toml` in a folder names, by slug."""
    with (folder / "sizes.toml").open("rb") as file:
        found = tomllib.load(file)
    return {slug: Sheet(slug=slug, **row) for slug, row in found.items()}


@dataclass(frozen=True)
class Placed:
    """One label's content at its place on a sheet: the corner in millimetres."""

    left: float
    top: float
    what: object
    on: Sheet


def lay_out(sheet: Sheet, labels: list[object], start: int = 1) -> list[list[Placed]]:
    """Pages of placed labels; the first begins at place `start` (from 1) of a sheet that was partly used before."""
    if not 1 <= start <= sheet.places:
        raise Refusal(_("This sheet has {n} places: start at one of them.", n=sheet.places), "start")
    pages: list[list[Placed]] = []
    for n, label in enumerate(labels, start - 1):
        page, place = divmod(n, sheet.places)
        if len(pages) <= page:
            pages.append([])
        pages[page].append(Placed(*sheet.corner(place), label, sheet))
    return pages
