"""A photo as an array of pixels, upright, of twelve megapixels at most; and whether its colours are Display-P3."""

import io
from typing import TYPE_CHECKING, Any

from bench.science.refusal import Refusal
from bench.web.words import _

if TYPE_CHECKING:
    from numpy.typing import NDArray

MOST_PIXELS = 12_000_000
P3 = b"Display P3"


def pixels_of(data: bytes) -> tuple["NDArray[Any]", bool]:
    """The pixels, rows by columns by channels, and whether they are of Display-P3. Refusal where it is no photo."""
    import numpy as np
    from PIL import Image, ImageOps

    try:
        image = Image.open(io.BytesIO(data), formats=("JPEG", "PNG", "WEBP"))
        profile = image.info.get("icc_profile") or b""
        scale = (MOST_PIXELS / (image.width * image.height)) ** 0.5
        if scale < 1:
            image.draft("RGB", (round(image.width * scale), round(image.height * scale)))
        upright = ImageOps.exif_transpose(image)
        if upright.width * upright.height > MOST_PIXELS:
            scale = (MOST_PIXELS / (upright.width * upright.height)) ** 0.5
            upright = upright.resize((int(upright.width * scale), int(upright.height * scale)), Image.Resampling.BOX)
        return np.asarray(upright.convert("RGB")), P3 in profile or P3.decode().encode("utf-16-be") in profile
    except Exception:
        raise Refusal(_("That file cannot be read as a photo. Take another one."), "photo") from None
