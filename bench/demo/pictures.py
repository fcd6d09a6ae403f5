"""Pictures of the demo's swatches: drawn here, in the colour that their numbers say."""

import hashlib
import io
from typing import TYPE_CHECKING

from PIL import Image, ImageDraw

from bench.science.colour import lab_to_srgb_hex

if TYPE_CHECKING:
    from bench.demo.teller import Teller

SIZE = (320, 240)
GREY = "#777777"


def swatch_picture(teller: "Teller", at: float, swatch: str, lab: tuple[float, float, float]) -> None:
    """Draw a paint-out beside a grey card, keep the picture beside the file, and record it."""
    picture = Image.new("RGB", SIZE, "#efece4")
    pen = ImageDraw.Draw(picture)
    pen.rectangle((20, 20, 210, 220), fill=lab_to_srgb_hex(lab).hex)
    pen.rectangle((230, 20, 300, 220), fill=GREY)
    kept = io.BytesIO()
    picture.save(kept, "PNG")
    name = teller.name(teller.now_ms + round(at * 60_000))
    folder = teller.bench.settings.photos
    (folder / f"{name}.png").write_bytes(kept.getvalue())
    digest = hashlib.sha256(kept.getvalue()).hexdigest()
    teller.tell(at, "photo.kept", swatch, {"of": swatch, "photo": name, "sha256": digest})
