"""What was said the last time a step was done on this bench: what a form may offer, never what it takes for read."""

from typing import Any

from bench.records.record import Record
from bench.web.current import current_bench

MOST_LOOKED_AT = 20
"""Of so many things, the newest, the last record of a kind is looked for."""


def last_of(sort: str, kind: str) -> Record | None:
    """The last record of a kind on the newest thing of a sort that has one."""
    state = current_bench().state
    for thing in reversed(state.things(sort)[-MOST_LOOKED_AT:]):
        found = state.own(thing, kind)
        if found:
            return found[-1]
    return None


def last_said(sort: str, kind: str, name: str) -> Any:
    """A field of that record; None where there is none."""
    found = last_of(sort, kind)
    return getattr(found.body, name, None) if found is not None else None
