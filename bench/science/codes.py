"""The codes on tags: five characters and a check character by ISO/IEC 7064, MOD 37-2.

The characters are 0-9 and A-Z without I, L, O and U. A code whose check character would be one of those or * is not
issued, so a check character never needs a sign that is hard to read or say.
"""

from collections.abc import Callable
from typing import Final

from bench.science.refusal import Refusal
from bench.translation import _

BODY: Final = 5
ALPHABET: Final = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
VALUES: Final = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*"
BODIES: Final = len(ALPHABET) ** BODY


def check_character(body: str) -> str:
    """The MOD 37-2 check character of digits and capital letters; may be `*`."""
    total = 0
    for char in body:
        total = (total + VALUES.index(char)) * 2 % 37
    return VALUES[(1 - total) % 37]


def code_of(number: int) -> str | None:
    """The code whose body is this number below 32⁵, or None where that code is not issued."""
    body = ""
    for _place in range(BODY):
        number, digit = divmod(number, len(ALPHABET))
        body = ALPHABET[digit] + body
    check = check_character(body)
    return body + check if check in ALPHABET else None


def new_codes(count: int, draw: Callable[[], int], taken: frozenset[str] | set[str] = frozenset()) -> list[str]:
    """`count` codes that differ from each other and from those taken; `draw` gives random numbers below 32⁵."""
    codes: list[str] = []
    seen = set(taken)
    while len(codes) < count:
        code = code_of(draw() % BODIES)
        if code is not None and code not in seen:
            seen.add(code)
            codes.append(code)
    return codes


FAULTS = {
    "code-letter": _("Codes have no letter {char}."),
    "code-meant": _("Codes have no letter {char}. Is it {meant}?"),
    "code-char": _("“{char}” is not allowed: codes have digits and capital letters."),
    "code-length": _("A code has {size} characters; this one has {n}."),
}
"""What is wrong with a typed code before its check character is asked."""


def normalised(typed: str) -> str:
    """A typed code in capitals without blanks and hyphens; raises Refusal with what is wrong and what was meant."""
    text = "".join(char for char in typed.upper() if char not in " -\u2010\u2011\u2013\t")
    for char in text:
        if char in "ILOU":
            meant = {"I": "1", "L": "1", "O": "0"}.get(char)
            raise Refusal(FAULTS["code-meant" if meant else "code-letter"].format(char=char, meant=meant), "check")
        if char not in ALPHABET:
            raise Refusal(FAULTS["code-char"].format(char=char), "check")
    if len(text) != BODY + 1:
        raise Refusal(FAULTS["code-length"].format(size=BODY + 1, n=len(text)), "check")
    return text


def plain_twin(typed: str) -> str | None:
    """The whole code that a typed one with I, L or O in place of 1 and 0 stands for, or None where it is none."""
    try:
        code = normalised(typed.upper().translate(str.maketrans("ILO", "110")))
    except Refusal:
        return None
    return code if is_valid(code) else None


def is_valid(code: str) -> bool:
    """Whether the last character of a normalised code is the check character of the others."""
    return check_character(code[:-1]) == code[-1]
