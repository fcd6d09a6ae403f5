"""When an item of a checklist is asked: a few words joined by `&` and `|`, bracketed where both stand.

What is not known counts as true: an item that may be needed is asked.
"""

import re
from collections.abc import Mapping

WORD = re.compile(r"[a-z_]+|[&|()]")
ALWAYS = "always"
TERMS = frozenset(
    {
        "gas",
        "electric",
        "indoors",
        "new_jar",
        "harmful_dust",
        "oxidiser_on_shelf",
        "oxidiser_in_batch",
        "burns_in_batch",
        "corrosive_in_batch",
        "damp",
        "gassing_charge",
        "burns_in_charge",
        "cylinder_new_or_moved",
        "rcd_test_due",
        "hot_pull",
        "drying_oil_used",
    }
)
"""Every word that may stand in a condition, beside *always*."""


def applies(when: str, known: Mapping[str, bool | None]) -> bool:
    """Whether a condition holds, or may hold. Raises ValueError for one that cannot be read."""
    words = WORD.findall(when)
    if "".join(words) != when.replace(" ", ""):
        raise ValueError(f"'{when}' is no condition")
    found = _either(words, known)
    if words:
        raise ValueError(f"'{when}' ends too late: {words[0]}")
    return found


def _either(words: list[str], known: Mapping[str, bool | None]) -> bool:
    found = _both(words, known)
    while words and words[0] == "|":
        words.pop(0)
        found = _both(words, known) or found
    return found


def _both(words: list[str], known: Mapping[str, bool | None]) -> bool:
    found = _one(words, known)
    while words and words[0] == "&":
        words.pop(0)
        found = _one(words, known) and found
    return found


def _one(words: list[str], known: Mapping[str, bool | None]) -> bool:
    word = words.pop(0) if words else ""
    if word == "(":
        found = _either(words, known)
        if not words or words.pop(0) != ")":
            raise ValueError("a bracket is not closed")
        return found
    if word != ALWAYS and word not in TERMS:
        raise ValueError(f"nothing is called '{word}'")
    return word == ALWAYS or known.get(word) is not False
