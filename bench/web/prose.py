"""A note of the library as a sentence: it begins with a capital, ends with a full stop, its formulas are shown."""

import re

from bench.science.formulas import pretty
from bench.science.weights import WEIGHTS

FORMULA = re.compile(r"(?<![\w.])\d*[A-Z][A-Za-z0-9()*·]*\d[A-Za-z0-9()*·]*")
OF_TWO = re.compile(r"[A-Z].*[A-Z]|(H|N|O|F|Cl|Br|I)2$")
"""Of two elements or more, or a gas of one: P3 is a mask, H302 a statement."""
NO_CODE = r"(?![A-Za-z0-9])(?!-[0-9A-Z]\b)"
IN_TEXT = re.compile(FORMULA.pattern + NO_CODE)
SYMBOL = re.compile(r"[A-Z][a-z]?")
BEGINS = re.compile(r"[a-z]+(?![\w()])")


def formulas(text: object) -> str:
    """A text with the subscripts of each formula in it; codes, masks and statements stay as they are."""
    return IN_TEXT.sub(lambda found: pretty(found[0]) if _is_formula(found[0]) else found[0], str(text))


def _is_formula(text: str) -> bool:
    return bool(OF_TWO.match(text)) and all(symbol in WEIGHTS for symbol in SYMBOL.findall(text))


def sentence(note: str) -> str:
    """The note as one sentence; formulas such as ZnSO4 and 7H2O in it with their subscripts."""
    shown = FORMULA.sub(lambda found: pretty(found[0]), note.strip())
    if BEGINS.match(shown):
        shown = shown[0].upper() + shown[1:]
    return shown if not shown or shown[-1] in ".!?" else f"{shown}."
