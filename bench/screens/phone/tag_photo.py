"""The code on a photo of a tag, read on this computer where a decoder is installed."""

import io
from importlib import import_module
from importlib.util import find_spec
from typing import Any

from bench.exporting.recipe_code import is_recipe
from bench.journal.pictures import Picture
from bench.printing.setter import Setter
from bench.science.refusal import Refusal
from bench.web.forms import read_code
from bench.web.turns import out_of_turn
from bench.web.words import _

DECODER = "zxingcpp"
SIDE = 2400
SMALL = 2_000_000
"""So many pixels are unpacked here and now; a larger picture in a process of its own, with bounds."""
TOO_LONG = _("That photo takes too long to read. Take a smaller one, or type the code.")
READER = Setter(most_s=20, too_much=TOO_LONG)


def can_read() -> bool:
    """Whether a decoder is installed here. It is optional: without it the code is typed."""
    return find_spec(DECODER) is not None


def codes_on(picture: Picture) -> list[str]:
    """The codes of our tags on a photo, each once; or the one recipe that is on it, as its text.

    Others have their turns meanwhile. Errors: Refusal where it cannot be unpacked, or holds none.
    """
    if not can_read():
        raise Refusal(_("No reader for photos is installed on the laptop. Type the six characters instead."))
    with out_of_turn():
        small = picture.width * picture.height <= SMALL
        found = set(texts_on(picture.data) if small else READER.call(texts_on, picture.data))
    codes = sorted(code for code in map(_code, found) if code is not None)
    recipes = [text for text in found if is_recipe(text)]
    if codes or len(recipes) == 1:
        return codes or recipes
    if found:
        raise Refusal(_("That QR code is not a tag of this bench. Type the code."))
    raise Refusal(_("No tag could be read on that photo. Take it closer and straight on, or type the code."))


def texts_on(picture: bytes) -> list[str]:
    """What the square symbols on a picture say. Errors: Refusal where it cannot be unpacked."""
    decoder = import_module(DECODER)
    found = decoder.read_barcodes(_image(picture), formats=decoder.BarcodeFormat.QRCode)
    return [str(each.text) for each in found]


def _image(picture: bytes) -> Any:
    from PIL import Image, ImageFile

    ImageFile.LOAD_TRUNCATED_IMAGES = False  # what sets pages turns it on for the whole process
    try:
        image = Image.open(io.BytesIO(picture), formats=("JPEG", "PNG", "WEBP"))
        image.draft("L", (SIDE, SIDE))
        image.thumbnail((SIDE, SIDE))
        return image.convert("L")
    except Exception:
        raise Refusal(_("That file cannot be read as a photo. Take another one, or type the code.")) from None


def _code(text: str) -> str | None:
    try:
        return read_code(text)
    except Refusal:
        return None
