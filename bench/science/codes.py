"""Codes on tags: five characters and a check character by ISO/IEC 7064 MOD 37-2.

The body has figures and capitals without I, L, O and U, which are misread. The check character can be any of the
standard's 37; a body whose check would be `*`, I, L, O or U is not issued, so every code is plain to read and to say.
"""

from collections.abc import Callable

from bench.science.refusal import Refusal

ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*"
"""The 37 check characters of MOD 37-2 in the standard's order; the first 36 may stand in the text."""
BODY = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
NEVER_ISSUED = frozenset("*ILOU")
LENGTH = 6
SEPARATORS = " -–—\u00a0"


def check_character(text: str) -> str:
    """The check character of a text of figures and capitals, by ISO/IEC 7064 MOD 37-2.

    Each character's value is added and the sum doubled, modulo 37, from left to right; the check character brings the
    whole to 1. Errors: ValueError for any other character.
    """
    total = 0
    for character in text:
        value = ALPHABET.index(character)
        if value == 36:
            raise ValueError("a star is a check character only")
        total = (total + value) * 2 % 37
    return ALPHABET[(1 - total) % 37]


def is_valid(text: str) -> bool:
    """Whether a text ends in its own check character by MOD 37-2 (any length of two and more)."""
    if len(text) < 2 or any(c not in ALPHABET[:36] for c in text[:-1]) or text[-1] not in ALPHABET:
        return False
    return check_character(text[:-1]) == text[-1]


def normalised(text: str) -> str:
    """A typed code in capitals, without spaces and dashes."""
    return "".join(c for c in text.upper() if c not in SEPARATORS)


def read(text: str) -> str:
    """A typed code as it is looked up; Refusal, field `code`, where it cannot be one of ours.

    No letter is silently taken for another: O for 0 or I for 1 is pointed out, for the check could be right by chance.
    """
    code = normalised(text)
    misread = [c for c in code if c in "ILOU"]
    if misread:
        raise Refusal(f"Our codes have no letter {misread[0]}: look again, it may be {LOOKS_LIKE[misread[0]]}.", "code")
    strange = [c for c in code if c not in BODY]
    if strange:
        raise Refusal("A code has figures and letters only: type the six characters on the tag.", "code")
    if len(code) != LENGTH:
        raise Refusal(f"A code has six characters; this has {len(code)}.", "code")
    if not is_valid(code):
        raise Refusal("This code has a slip in it: one character is wrong or two are swapped. Look again.", "code")
    return code


LOOKS_LIKE = {"I": "the figure 1", "L": "the figure 1", "O": "the figure 0", "U": "a V"}


def issued(body: str) -> str | None:
    """The code with this five-character body, or None when such a code is not issued. Errors: ValueError."""
    if len(body) != LENGTH - 1 or any(c not in BODY for c in body):
        raise ValueError("a body has five of our characters")
    check = check_character(body)
    return None if check in NEVER_ISSUED else body + check


def new_code(choose: Callable[[int], int], taken: Callable[[str], bool]) -> str:
    """A code that nobody bears yet. `choose(n)` gives a random whole number below n; `taken` knows the codes in use."""
    while True:
        code = issued("".join(BODY[choose(len(BODY))] for _ in range(LENGTH - 1)))
        if code is not None and not taken(code):
            return code
