"""Writes codes.json: bodies with their check character, and texts that are or are not codes.

python -m tests.vectors.write_codes; the Python module is tested elsewhere against an independent implementation.
"""

from random import Random
from typing import Any

from bench.science.codes import ALPHABET, check_character, code_of, is_valid, normalised
from bench.science.refusal import Refusal
from tests.vectors.files import write


def cases() -> list[dict[str, Any]]:
    """Bodies, issued codes as they may be typed, and each of them with one slip."""
    chance = Random(37)
    bodies = ["".join(chance.choices(ALPHABET, k=5)) for _ in range(120)]
    found: list[dict[str, Any]] = [{"body": body, "check": check_character(body)} for body in bodies]
    codes = [code for code in (code_of(chance.randrange(32**5)) for _ in range(40)) if code is not None]
    typed = [
        text for code in codes for text in (code, f"{code[:5]}-{code[5]}", code.lower(), f" {code[:3]} {code[3:]} ")
    ]
    for code in codes:
        place = chance.randrange(6)
        other = chance.choice([one for one in ALPHABET if one != code[place]])
        swapped = code[: place - 1] + code[place] + code[place - 1] + code[place + 1 :] if place else code
        typed += [code[:place] + other + code[place + 1 :], swapped, code[:5], code + "0", code[:5] + "O"]
    typed += ["", "-", "IIIIII", "Ω2345A", "T5C7H*", "T5C7H–J"]
    return found + [{"typed": text, "code": read(text)} for text in typed]


def read(text: str) -> str | None:
    """The code that a text is, or None."""
    try:
        code = normalised(text)
    except Refusal:
        return None
    return code if is_valid(code) else None


if __name__ == "__main__":
    write("codes", cases())
