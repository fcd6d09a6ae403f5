"""Labels for jars, pigments and waste on a sheet: what their template is given, and the room that they have."""

from pathlib import Path
from typing import Any

from bench.printing.jar_labels import JarLabel
from bench.printing.pictograms import sign
from bench.printing.sheets import Sheet, lay_out

PAD_MM = 2.5
SIGN_MM = 10.0
SIDE_MM = 17.5


def label_content(found: list[JarLabel], sheet: Sheet, start: int, sprite: Path) -> dict[str, Any]:
    """What `jar_labels.html` needs for some labels on a sheet from a place on. `sprite` holds the signs."""
    return {
        "title": "Labels",
        "sheet": sheet,
        "pages": lay_out(sheet, list(found), start),
        "pad": PAD_MM,
        "side": SIDE_MM,
        "sign": lambda name: sign(sprite, name, SIGN_MM),
    }


def room_mm(sheet: Sheet) -> float:
    """The height that the text of a label may take."""
    return sheet.height - 2 * PAD_MM
