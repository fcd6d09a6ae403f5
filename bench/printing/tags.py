"""Crucible tags: bare, because a tag outlives what the crucible holds. The code as a symbol, twice where it fits, and
in large plain type."""

from dataclasses import dataclass

from bench.printing.sheets import Placed, Sheet, lay_out
from bench.printing.symbols import DOTS_PER_MM, QUIET, Symbol, symbol

MM_PER_PT = 25.4 / 72
DIGIT_EM = 0.62
"""Width of a bold figure or capital in ems, on the safe side for the fonts that stand first in the style sheet."""
WIDE_EM = {"W": 1.0, "M": 0.9, "Q": 0.77, "-": 0.38} | dict.fromkeys("DGHN", 0.76)
LETTER_EM, APART_EM = 0.7, 0.03
"""Widths of bold letters in ems, in the widest of those fonts: DejaVu Sans Condensed. What is put between two letters,
since a J reaches under its neighbour."""
LETTERS = 7
MARGIN_MM = 1.0
SIDE_MM = 2.0
EYELET_ROOM_MM = 8.0
OVERHANG_MM = 0.4
"""So far a letter may reach out of the box that its size promises."""


@dataclass(frozen=True)
class Tag:
    """One tag: its code as a person reads it, and its symbol."""

    code: str
    symbol: Symbol

    @property
    def words(self) -> str:
        return f"{self.code[:5]}-{self.code[5:]}"

    def pt(self, layout: "Layout") -> float:
        """The type size of its code in points: the layout's, or less where its letters are wide."""
        em = sum(DIGIT_EM if char.isdigit() else WIDE_EM.get(char, LETTER_EM) for char in self.words)
        em += APART_EM * len(self.words)
        return round(min(layout.code_pt, layout.code_width / em / MM_PER_PT), 2)


@dataclass(frozen=True)
class Layout:
    """Where things stand on a tag of one size, in millimetres from its left top corner."""

    symbols: tuple[tuple[float, float], ...]
    eyelet: bool
    code_left: float
    code_top: float
    code_width: float
    code_pt: float


def tag_layout(sheet: Sheet) -> Layout:
    """The layout of a tag: two symbols where both and their quiet zones fit, the code under them or beside the one."""
    size = symbol("00000", sheet.symbol_version, sheet.dots_per_module).size_mm
    side, above = _blank_mm(sheet)
    below = max(MARGIN_MM, sheet.reach_mm - sheet.edges[1] + OVERHANG_MM)
    twice = sheet.width >= 2 * size + EYELET_ROOM_MM
    if sheet.width < size + 3 * MARGIN_MM or sheet.height - size - 2 * MARGIN_MM >= sheet.width / LETTERS:
        left = side if twice else (sheet.width - size) / 2
        symbols = ((left, above), (sheet.width - left - size, above)) if twice else ((left, above),)
        edge = max(MARGIN_MM, sheet.reach_mm - sheet.edges[0] + OVERHANG_MM)
        width, under = sheet.width - 2 * edge, sheet.height - size - above - below
        pt = min(_pt_for(width), under / MM_PER_PT)
        top = above + size + (under - pt * MM_PER_PT) / 2
        return Layout(symbols, twice, edge, top, width, pt)
    top = (sheet.height - size) / 2
    width = sheet.width - size - 3 * MARGIN_MM
    pt = _pt_for(width)
    code_top = (sheet.height - pt * MM_PER_PT) / 2
    return Layout(((MARGIN_MM, top),), False, size + 2 * MARGIN_MM, code_top, width, pt)


def _blank_mm(sheet: Sheet) -> tuple[float, float]:
    """From a tag's sides and its top to its symbols, whose quiet zones may lie where a printer does not reach."""
    quiet = QUIET * sheet.dots_per_module / DOTS_PER_MM
    at_side, at_top = (sheet.reach_mm - edge - quiet for edge in sheet.edges)
    return max(SIDE_MM, at_side), max(MARGIN_MM, at_top)


def _pt_for(width_mm: float) -> float:
    """The largest type size in points at which a code stays inside a width; 24 at the most."""
    return round(min(24.0, width_mm / (LETTERS * DIGIT_EM) / MM_PER_PT), 1)


def tag_pages(codes: list[str], sheet: Sheet, start: int = 1) -> list[list[Placed]]:
    """Pages of tags for some codes, one tag a code, in their order."""
    tags: list[object] = [Tag(code, symbol(code, sheet.symbol_version, sheet.dots_per_module)) for code in codes]
    return lay_out(sheet, tags, start)
