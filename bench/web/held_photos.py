"""Photos of refused forms, held for a while outside the record, so that nobody has to take one again.

In memory alone, few, and no longer than half an hour: what was never recorded leaves no trace.
"""

import secrets
from collections import OrderedDict
from dataclasses import dataclass
from typing import Any

from flask import current_app

from bench.journal.pictures import Picture
from bench.web.current import current_bench

MOST_HELD = 4
HELD_MS = 30 * 60_000


@dataclass(frozen=True)
class HeldPhoto:
    """A photo that waits for its form: the file's own name, its size, and since when it is held."""

    picture: Picture
    name: str
    size: int
    since_ms: int


def hold(picture: Picture, name: str, size: int) -> str:
    """Hold a photo; gives the mark by which its form finds it again. The oldest one goes where there are too many."""
    mark = secrets.token_urlsafe(16)
    held = _held()
    held[mark] = HeldPhoto(picture, name[:80], size, current_bench().now_ms())
    while len(held) > MOST_HELD:
        held.popitem(last=False)
    return mark


def held_photo(mark: str) -> HeldPhoto | None:
    """The photo of a mark; None where there is none, or it waited too long."""
    found = _held().get(mark)
    if found is not None and current_bench().now_ms() - found.since_ms > HELD_MS:
        release(mark)
        return None
    return found


def release(mark: str) -> None:
    """Let a photo go: it was recorded, or dropped."""
    _held().pop(mark, None)


def _held() -> OrderedDict[str, HeldPhoto]:
    held: Any = current_app.extensions.setdefault("held_photos", OrderedDict())
    found: OrderedDict[str, HeldPhoto] = held
    return found
