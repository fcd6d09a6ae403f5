"""Sheets of labels: where each label stands, in millimetres, from `labels/sizes.toml`."""

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from bench.science.refusal import Refusal
from bench.translation import _


@dataclass(frozen=True)
class Sheet:
    """A page of equal labels. All lengths in millimetres."""

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

    @property
    def places(self) -> int:
        return self.columns * self.rows

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
    """One label's content at its place: the corner in millimetres."""

    left: float
    top: float
    what: object


def lay_out(sheet: Sheet, labels: list[object], start: int = 1) -> list[list[Placed]]:
    """Pages of placed labels; the first begins at place `start` (from 1) of a sheet that was partly used before."""
    if not 1 <= start <= sheet.places:
        raise Refusal(_("This sheet has {n} places: begin at one of them.", n=sheet.places), "start")
    pages: list[list[Placed]] = []
    for n, label in enumerate(labels, start - 1):
        page, place = divmod(n, sheet.places)
        if len(pages) <= page:
            pages.append([])
        pages[page].append(Placed(*sheet.corner(place), label))
    return pages
