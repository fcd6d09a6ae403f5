"""A recipe as the text of a QR code: JSON, raw deflate (RFC 1951), base45 (RFC 9285), after the mark `SAGGAR1:`.

The JSON of version 1. Only `v`, `name` and `mix` must be there.

    {"v": 1, "name": "Iron brown", "target": "ZnFe2O4",
     "mix":  [["ZnO", 33.8, 99.5], ["Fe2O3", 66.2, 98]],    formula, parts by mass, assay in % (100 when left out)
     "flux": [["H3BO3", 2]],                                the same
     "fire": [[300, 600, 10], [200, 1050, 120]],            rate in °C/h (0: as fast as it goes), °C, hold in minutes
     "cool": "in-furnace", "note": "…", "source": "…"}

A formula carries its water, so that another jar can be dosed instead. A name that this reader does not know is kept and
told. `needs` names what a reader must know to plan with it: a recipe that needs something unknown is shown and not
planned. A new mark (`SAGGAR2:`) means another packing.
"""

import math
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

import orjson

from bench.science.refusal import Refusal

MARK: Final = "SAGGAR1:"
ANY_MARK: Final = "SAGGAR"
FIELDS: Final = frozenset(["v", "name", "target", "mix", "flux", "fire", "cool", "note", "source", "needs"])
TEXTS: Final = ("name", "target", "cool", "note", "source")
MOST_BYTES: Final = 16_384
MOST_TEXT: Final = 4_296
"""Letters and figures that the largest QR code holds (ISO/IEC 18004)."""
ALPHABET: Final = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"
DAMAGED = "This recipe code is damaged or cut off. Scan it again."


@dataclass(frozen=True)
class Scanned:
    """A recipe that was read. `unknown`: what this bench does not use of it. `say`: why it is not planned, or ""."""

    recipe: dict[str, Any]
    unknown: tuple[str, ...] = ()
    say: str = ""


def base45(data: bytes) -> str:
    """Bytes as base45, RFC 9285: two bytes as three letters, one as two."""
    found = []
    for n in range(0, len(data), 2):
        pair = data[n : n + 2]
        value = int.from_bytes(pair, "big")
        digits = []
        for _digit in range(len(pair) + 1):
            value, rest = divmod(value, 45)
            digits.append(ALPHABET[rest])
        found.append("".join(digits))
    return "".join(found)


def from_base45(text: str) -> bytes:
    """The bytes of base45. ValueError for what is none."""
    if len(text) % 3 == 1:
        raise ValueError("cut off")
    found = bytearray()
    for n in range(0, len(text), 3):
        part = text[n : n + 3]
        value = sum(ALPHABET.index(letter) * 45**place for place, letter in enumerate(part))
        found += value.to_bytes(len(part) - 1, "big")  # too large: OverflowError, which is an ArithmeticError
    return bytes(found)


def packed(recipe: Mapping[str, Any]) -> str:
    """The text of the code. Refusal when it is too long for one."""
    squeezer = zlib.compressobj(9, zlib.DEFLATED, -15)
    text = MARK + base45(squeezer.compress(orjson.dumps(dict(recipe))) + squeezer.flush())
    if len(text) > MOST_TEXT:
        raise Refusal("This recipe is too long for one code. Shorten its note.", "note")
    return text


def unpacked(text: str) -> Scanned:
    """Reads a scanned text. Refusal, with a sentence, when it is none or of a newer packing."""
    if not text.startswith(ANY_MARK):
        raise Refusal("This code is not a recipe.", "text")
    if not text.startswith(MARK):
        raise Refusal("This recipe was made by a newer Saggar. Update this one to read it.", "text")
    recipe = _opened(text[len(MARK) :])
    unknown = tuple(sorted(recipe.keys() - FIELDS))
    needs = recipe.get("needs", [])
    missing = [str(one) for one in needs if one not in FIELDS] if isinstance(needs, list) else ["needs"]
    if missing:
        return Scanned(recipe, unknown, f"It needs what this Saggar does not know: {', '.join(missing)[:80]}.")
    if not _sound(recipe):
        raise Refusal(DAMAGED, "text")
    return Scanned(recipe, unknown)


def _opened(text: str) -> dict[str, Any]:
    try:
        opener = zlib.decompressobj(-15)
        raw = opener.decompress(from_base45(text), MOST_BYTES)
        recipe = orjson.loads(raw) if opener.eof and not opener.unused_data else None
    except (ValueError, ArithmeticError, zlib.error):
        recipe = None
    if not isinstance(recipe, dict) or not isinstance(recipe.get("v"), int):
        raise Refusal(DAMAGED, "text")
    return recipe


def _sound(recipe: Mapping[str, Any]) -> bool:
    words = all(isinstance(recipe.get(name, ""), str) for name in TEXTS)
    rows = _rows(recipe, "mix", 2, 3, 1) and _rows(recipe, "flux", 2, 3, 1) and _rows(recipe, "fire", 3, 3, 0)
    return words and bool(recipe.get("name")) and bool(recipe.get("mix")) and rows


def _rows(recipe: Mapping[str, Any], name: str, low: int, high: int, texts: int) -> bool:
    given = recipe.get(name, [])
    return isinstance(given, list) and all(
        isinstance(row, list)
        and low <= len(row) <= high
        and all(isinstance(one, str) for one in row[:texts])
        and all(_is_amount(one) for one in row[texts:])
        for row in given
    )


def _is_amount(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value) and value >= 0
