"""A note of the library as a sentence: it begins with a capital, ends with a full stop, its formulas are shown."""

import re

from bench.science.formulas import pretty

FORMULA = re.compile(r"(?<![\w.])\d*[A-Z][A-Za-z0-9()*·]*\d[A-Za-z0-9()*·]*")
BEGINS = re.compile(r"[a-z]+(?![\w()])")


def sentence(note: str) -> str:
    """The note as one sentence; formulas such as ZnSO4 and 7H2O in it with their subscripts."""
    shown = FORMULA.sub(lambda found: pretty(found[0]), note.strip())
    if BEGINS.match(shown):
        shown = shown[0].upper() + shown[1:]
    return shown if not shown or shown[-1] in ".!?" else f"{shown}."
