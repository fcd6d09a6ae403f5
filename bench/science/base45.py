"""Base45, the writing of bytes in the 45 characters that a QR symbol packs tightly: RFC 9285.

Two bytes become three characters, the lowest place first; a last single byte becomes two.
"""

from typing import Final

from bench.science.refusal import Refusal
from bench.translation import _

CHARACTERS: Final = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"
"""RFC 9285, table 1."""
PLACES: Final = {char: n for n, char in enumerate(CHARACTERS)}
NO_BASE45: Final = _("This is not base45.")


def encode(data: bytes) -> str:
    """The text of some bytes.

    >>> encode(b"Hello!!")
    '%69 VD92EX0'
    """
    return "".join(_written(data[at : at + 2]) for at in range(0, len(data), 2))


def _written(part: bytes) -> str:
    value = int.from_bytes(part, "big")
    digits = []
    for _place in range(len(part) + 1):
        value, digit = divmod(value, 45)
        digits.append(CHARACTERS[digit])
    return "".join(digits)


def decode(text: str) -> bytes:
    """The bytes of a text. Refusal where a character is none of the 45, or characters stand for no bytes."""
    if len(text) % 3 == 1 or any(char not in PLACES for char in text):
        raise Refusal(NO_BASE45)
    return b"".join(_read(text[at : at + 3]) for at in range(0, len(text), 3))


def _read(part: str) -> bytes:
    value = sum(PLACES[char] * int(45**n) for n, char in enumerate(part))
    size = len(part) - 1
    if value >= 256**size:
        raise Refusal(NO_BASE45)
    return value.to_bytes(size, "big")
