"""Pictures of the demo's swatches: a paint-out drawn here, in the colour that its numbers say, beside a grey card."""

import hashlib
import io
from random import Random
from typing import TYPE_CHECKING

from PIL import Image, ImageDraw

from bench.science.colour import lab_to_srgb_hex

if TYPE_CHECKING:
    from bench.demo.teller import Teller

Lab = tuple[float, float, float]

SIZE = (320, 240)
PAPER = "#efece4"
CARD = ("#f2f2f2", "#777777", "#222222")
STROKES = 22
COLOURS = 48
TINT = 0.55
"""So far towards white goes the lower half, which is drawn out thin."""


def swatch_picture(teller: "Teller", at: float, swatch: str, lab: Lab) -> None:
    """Draw a paint-out beside a grey card, keep the picture beside the file, and record it."""
    name = teller.name(teller.now_ms + round(at * 60_000))
    kept = io.BytesIO()
    drawn(lab, Random(name)).quantize(COLOURS).save(kept, "PNG", optimize=True)
    folder = teller.bench.settings.photos
    (folder / f"{name}.png").write_bytes(kept.getvalue())
    digest = hashlib.sha256(kept.getvalue()).hexdigest()
    teller.tell(at, "photo.kept", swatch, {"of": swatch, "photo": name, "sha256": digest})


def drawn(lab: Lab, dice: Random) -> Image.Image:
    """Brush strokes with ragged ends, full above and thin below, and a card of white, grey and black at their side."""
    picture = Image.new("RGB", SIZE, PAPER)
    pen = ImageDraw.Draw(picture)
    for n in range(STROKES):
        y = 20 + n * 200 / STROKES
        ends = (16 + dice.randrange(10), y, 200 + dice.randrange(16), y + 200 / STROKES + 1)
        pen.rectangle(ends, fill=lab_to_srgb_hex(_stroke(lab, n >= STROKES // 2, dice)).hex)
    for n, grey in enumerate(CARD):
        pen.rectangle((236, 20 + 67 * n, 304, 86 + 67 * n), fill=grey)
    return picture


def _stroke(lab: Lab, thin: bool, dice: Random) -> Lab:
    towards = TINT if thin else 0.0
    light, a, b = lab
    light += (94.0 - light) * towards + dice.uniform(-1.2, 1.2)
    return light, a * (1 - towards), b * (1 - towards)
