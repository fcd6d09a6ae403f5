"""Long lists, a page at a time, the newest first: what is read is what is shown."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from flask import request

A_PAGE = 50


@dataclass(frozen=True)
class Paged:
    """A part of a list: what is on this page, where it begins, and of how many."""

    found: tuple[Any, ...]
    start: int
    total: int
    size: int

    @property
    def last(self) -> int:
        """The number of the last one on this page, counted from 1."""
        return self.start + len(self.found)

    @property
    def earlier(self) -> int | None:
        """Where the page of earlier ones begins, or None."""
        return self.start + self.size if self.start + self.size < self.total else None

    @property
    def later(self) -> int | None:
        """Where the page of later ones begins, or None."""
        return self.start - self.size if self.start else None


def paged(newest_first: Sequence[Any], most: int | None = None) -> Paged:
    """The page of a list that the address asks for with `from`; whatever else is asked for is the first one.

    `most`: how many rows a page has where each takes much to tell, as the sums of a jar do.
    """
    size = A_PAGE if most is None else min(most, A_PAGE)
    typed = request.args.get("from", "")
    start = int(typed) if typed.isascii() and typed.isdigit() and len(typed) < 9 else 0
    start = min(start, max(0, len(newest_first) - 1)) // size * size
    return Paged(tuple(newest_first[start : start + size]), start, len(newest_first), size)
