"""A page to set a printer by: rulers across the edges of the first label, and crosses where labels should meet.

The rulers stand where a printer without fault would put them, whatever offset is kept. So the mark that lies on the
true edge of the label, when the page is held against a sheet of labels, is the whole offset that this printer needs.
The crosses are moved by the offset that is kept: once it is right, they lie on the corners.
"""

from dataclasses import dataclass, replace

from bench.printing.sheets import Sheet

REACH_MM = 4.0
STEP_MM = 0.5
ARM_MM = 3.0
FIGURE_MM = 1.3
"""The size of the numbers: two of them, two millimetres apart, do not touch."""
WIDE_EM, TALL_EM = 0.69, 0.73
"""The widths of figures and signs and the height of figures, on the safe side for the fonts of the page."""
RIM_MM = 0.15
TICK_MM = {True: 3.0, False: 1.6}
"""How long a mark is: at whole millimetres, and between."""
MOST_MM = 10.0
"""The largest offset that is kept: a printer that is further off has another paper size set."""


@dataclass(frozen=True)
class Tick:
    """One mark of a ruler: where it begins, in mm from the page's left top corner, its sides, and its number if any.

    `words_left`, `words_foot`: where the number begins, and where its figures stand.
    """

    left: float
    top: float
    width: float
    height: float
    words: str
    words_left: float
    words_foot: float


@dataclass(frozen=True)
class Calibration:
    """The page: marks and crosses (their centres), and where its words begin."""

    ticks: tuple[Tick, ...]
    crosses: tuple[tuple[float, float], ...]
    words: tuple[float, float] | None


def moved(sheet: Sheet, right_mm: float, down_mm: float) -> Sheet:
    """The sheet as it must be printed by a printer that needs this offset."""
    left, top = sheet.left + right_mm, sheet.top + down_mm
    return replace(sheet, left=left, top=top, off_right=right_mm, off_down=down_mm)


def calibration(sheet: Sheet, right_mm: float = 0.0, down_mm: float = 0.0) -> Calibration:
    """The page for a sheet as `sizes.toml` has it, and the offset that is kept for it, in mm to the right and down."""
    middle_x, middle_y = sheet.left + sheet.width / 2, sheet.top + sheet.height / 2
    along = [n * STEP_MM for n in range(round(-REACH_MM / STEP_MM), round(REACH_MM / STEP_MM) + 1)]
    edges_x, edges_y = (sheet.left, sheet.left + sheet.width), (sheet.top, sheet.top + sheet.height)
    ticks = [_across(edge + at, middle_y, at, sheet.page_width) for edge in edges_x for at in along]
    ticks += [_down(edge + at, middle_x, at, sheet.page_height) for edge in edges_y for at in along]
    on_page = [t for t in ticks if 0 <= t.left <= sheet.page_width and 0 <= t.top <= sheet.page_height]
    new = moved(sheet, right_mm, down_mm)
    corners = [new.corner(place) for place in range(new.places)]
    crosses = {(x + dx, y + dy) for x, y in corners for dx in (0.0, sheet.width) for dy in (0.0, sheet.height)}
    words = sheet.corner(sheet.columns) if sheet.rows > 1 else None
    return Calibration(tuple(on_page), tuple(sorted(crosses)), words)


def _words(at: float) -> str:
    return f"{at:+.0f}" if at and at == int(at) and int(at) % 2 == 0 else "0" if at == 0 else ""


def _across(x: float, middle: float, at: float, page_width: float) -> Tick:
    """A mark of the ruler that lies; its number stands under it, wholly on the page."""
    height = TICK_MM[at == int(at)] * (1.4 if at == 0 else 1.0)
    words = _words(at)
    wide = len(words) * WIDE_EM * FIGURE_MM
    left = min(max(x - wide / 2, RIM_MM), page_width - wide - RIM_MM)
    return Tick(x, middle - height, 0.0, height, words, left, middle + 1.7)


def _down(y: float, middle: float, at: float, page_height: float) -> Tick:
    """A mark of the ruler that stands; its number stands beside it, wholly on the page."""
    width = TICK_MM[at == int(at)] * (1.4 if at == 0 else 1.0)
    tall = TALL_EM * FIGURE_MM
    foot = min(max(y + tall / 2, tall + RIM_MM), page_height - RIM_MM)
    return Tick(middle - width, y, width, 0.0, _words(at), middle + 0.4, foot)
