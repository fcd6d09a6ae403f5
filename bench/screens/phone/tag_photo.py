"""The code on a photo of a tag, read on this computer where a decoder is installed."""

import io
from importlib import import_module
from importlib.util import find_spec
from typing import Any

from bench.science.refusal import Refusal
from bench.screens.kit.forms import read_code
from bench.screens.kit.words import _

DECODER = "zxingcpp"
MOST_PIXELS = {"JPEG": 100_000_000}
MOST_PIXELS_WHOLE = 40_000_000
"""A JPEG is decoded at a fraction of its size; other pictures have to be decoded whole, four bytes a pixel."""
SIDE = 2400


def can_read() -> bool:
    """Whether a decoder is installed here. It is optional: without it the code is typed."""
    return find_spec(DECODER) is not None


def codes_on(picture: bytes) -> list[str]:
    """The codes of our tags on a photo, each once. Errors: Refusal where it cannot be read as a picture, or none is."""
    if not can_read():
        raise Refusal(_("No reader for photos is installed on the laptop. Type the six characters instead."))
    found = set(_texts(_image(picture)))
    codes = sorted(code for code in map(_code, found) if code is not None)
    if codes:
        return codes
    if found:
        raise Refusal(_("There is a symbol on it, but none of our tags. Type the code."))
    raise Refusal(_("No tag could be read on that photo. Take it closer and straight on, or type the code."))


def _image(picture: bytes) -> Any:
    from PIL import Image

    try:
        image = Image.open(io.BytesIO(picture), formats=("JPEG", "PNG", "WEBP"))
        if image.width * image.height > MOST_PIXELS.get(image.format or "", MOST_PIXELS_WHOLE):
            raise Refusal(_("That photo is too large to read. Take it with a lower resolution, or type the code."))
        image.draft("L", (SIDE, SIDE))
        image.thumbnail((SIDE, SIDE))
        return image.convert("L")
    except Refusal:
        raise
    except Exception:
        raise Refusal(_("That file cannot be read as a photo. Take another one, or type the code.")) from None


def _texts(image: Any) -> list[str]:
    decoder = import_module(DECODER)
    found = decoder.read_barcodes(image, formats=decoder.BarcodeFormat.QRCode)
    return [str(each.text) for each in found]


def _code(text: str) -> str | None:
    try:
        return read_code(text)
    except Refusal:
        return None
