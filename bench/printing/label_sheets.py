"""Labels for jars, pigments and waste on a sheet: each in the largest letters that its place has room for."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from bench.printing.fitting import SLACK_MM, heights_mm
from bench.printing.jar_labels import JarLabel
from bench.printing.paper import can_set, html
from bench.printing.pictograms import sign
from bench.printing.sheets import Placed, Sheet, lay_out
from bench.translation import _

PAD_MM = 2.5
SIDE_MM = 18.0
SIZES_PT = (13.0, 11.0, 9.5, 8.8, 8.0)
Group = tuple[Sheet, Sequence[JarLabel]]
"""Labels that go on one kind of sheet."""
LEAST_PT, HARMS_PT = 8.0, 12.0
"""No letter of a label is smaller; and none of what harms, on a label of waste, which is read across a room."""
SMALL = 0.9
"""How large the lesser lines are beside the others, where that is not below the least."""
SIGN_MM_A_PT, SIGN_MM = 1.3, (10.0, 16.0)
"""How large a hazard's sign is beside letters of so many points: never below 10 mm."""


def pads_mm(sheet: Sheet, left: float, top: float) -> tuple[float, float, float, float]:
    """What stays blank inside a label that begins there: above, at the right, below, at the left."""
    left, top = left - sheet.off_right, top - sheet.off_down
    right, bottom = sheet.page_width - left - sheet.width, sheet.page_height - top - sheet.height
    above, at_right, below, at_left = (max(PAD_MM, sheet.reach_mm - edge) for edge in (top, right, bottom, left))
    return above, at_right, below, at_left


def label_content(found: Sequence[JarLabel], sheet: Sheet, start: int, sprite: Path) -> dict[str, Any]:
    """What `jar_labels.html` needs for some labels on a sheet from a place on. `sprite` holds the signs."""
    return content_of([(sheet, found)], start, sprite)


def content_of(groups: Sequence[Group], start: int, sprite: Path) -> dict[str, Any]:
    """The same for labels on several sheets of one paper. The first sheet begins at `start`, the others at their first
    place."""
    pages = []
    for n, (sheet, found) in enumerate(groups):
        pages += lay_out(sheet, list(found), 1 if n else start)
    return {
        "title": _("Labels"),
        "sheet": groups[0][0],
        "pages": pages,
        "pads": lambda placed: pads_mm(placed.on, placed.left, placed.top),
        "side": SIDE_MM,
        "small": lambda text_pt: max(LEAST_PT, SMALL * text_pt),
        "harms": lambda text_pt, band: max(HARMS_PT if band else LEAST_PT, text_pt),
        "sign": lambda name, text_pt: sign(sprite, name, _sign_mm(text_pt)),
    }


def _sign_mm(text_pt: float) -> float:
    low, high = SIGN_MM
    return round(min(max(text_pt * SIGN_MM_A_PT, low), high), 1)


def fitted(
    found: Sequence[JarLabel], sheet: Sheet, start: int, folder: Path, sprite: Path
) -> tuple[list[JarLabel], JarLabel | None]:
    """The labels, each in the largest letters at which all of it has room; and the first that has none, if any."""
    done, left = _fitted(found, sheet, start, folder, sprite)
    return done, done[left[0]] if left else None


def by_room(
    found: Sequence[JarLabel], ladder: Sequence[Sheet], start: int, folder: Path, sprite: Path
) -> tuple[list[Group], JarLabel | None]:
    """The labels on the sheets of a ladder from small to large, each on the first that has room for all of it; and the
    first that has none anywhere. A label of waste is read across a room: it goes on the largest."""
    groups: list[Group] = []
    waiting = list(found)
    for sheet in ladder:
        tried = [label for label in waiting if not label.band or sheet is ladder[-1]]
        while tried:  # without one that has no room the others move up, where less may be blank: they are set anew
            done, left = _fitted(tried, sheet, 1 if groups else min(start, sheet.places), folder, sprite)
            if not left:
                waiting = [label for label in waiting if label not in tried]
                groups.append((sheet, done))
                break
            tried = [label for n, label in enumerate(tried) if n not in left]
    return groups, waiting[0] if waiting else None


def _fitted(
    found: Sequence[JarLabel], sheet: Sheet, start: int, folder: Path, sprite: Path
) -> tuple[list[JarLabel], list[int]]:
    """The labels in their largest letters, and which of them have no room in any."""
    done = list(found)
    if not can_set():
        return done, []
    left = list(range(len(done)))
    for size in SIZES_PT:
        for n in left:
            done[n] = replace(done[n], text_pt=size)
        content = label_content(done, sheet, start, sprite)
        heights = heights_mm(html(folder, "jar_labels.html", **content))
        rooms = [_room_mm(sheet, placed) for page in content["pages"] for placed in page]
        left = [n for n in left if heights[n] > rooms[n] + SLACK_MM]
        if not left:
            break
    return done, left


def _room_mm(sheet: Sheet, placed: Placed) -> float:
    above, _right, below, _left = pads_mm(sheet, placed.left, placed.top)
    return sheet.height - above - below
