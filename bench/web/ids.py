"""Record ids as pages make them: ULIDs, and further ones derived from a page's one."""

import hashlib
import re

from ulid import ULID

ULID_TEXT = re.compile(r"[0-7][0-9A-HJKMNP-TV-Z]{25}")


def is_ulid(text: str) -> bool:
    """Whether this is a ULID in its canonical capitals."""
    return ULID_TEXT.fullmatch(text) is not None


def fresh(now_ms: int) -> str:
    """A new id for a record that a page without JavaScript may send."""
    return str(ULID.from_timestamp(now_ms / 1000))


def derived(first: str, n: int) -> str:
    """The id of the nth further record of one submit. The same submit sent again derives the same ids.

    The time of the first id is kept; the 80 other bits are taken from SHA-256 over the id and n.
    """
    if n == 0:
        return first
    digest = hashlib.sha256(f"{first}/{n}".encode()).digest()
    return str(ULID(ULID.from_str(first).bytes[:6] + digest[:10]))
