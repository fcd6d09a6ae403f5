"""A state with records in it that nobody has made: how things would stand once the steps before a step are done.

Nothing of it is kept. It serves the pages that a phone takes along for steps whose turn has not come.
"""

import hashlib
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from bench.records.filing import fold
from bench.records.kinds import KINDS
from bench.records.moments import utc_text
from bench.records.record import Record
from bench.records.references import referenced_ids
from bench.records.schema import is_ulid
from bench.records.state import State

DEVICE = "imagined"
FIGURES = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"


@dataclass(frozen=True)
class Step:
    """One record to imagine. `id` None: any; for a kind that makes a thing it is the thing's."""

    kind: str
    subject: str
    data: Mapping[str, Any]
    id: str | None = None


def reserved(thing: str, whose: str, n: int) -> str:
    """The ULID kept free for the nth thing that one device makes of another thing: always the same one."""
    digest = hashlib.sha256(f"{thing}/{whose}/{n}".encode()).digest()
    bits = int.from_bytes(digest[:10])
    return thing[:10] + "".join(FIGURES[(bits >> 5 * place) & 31] for place in reversed(range(16)))


def imagined(state: State, steps: Iterable[Step], now_ms: int) -> State:
    """A state like this one, in which the steps were done too, one after the other. The given one stays as it is."""
    copy = _copy(state)
    counter = state.last.hlc[0] if state.last is not None else 0
    for n, step in enumerate(steps, 1):
        identity = step.id or reserved(step.subject, DEVICE + step.kind, n)
        record = Record(
            id=identity,
            v=KINDS[step.kind].version,
            kind=step.kind,
            device=DEVICE,
            seq=n,
            hlc=(max(counter, now_ms) + n, 0, DEVICE),
            at=utc_text(now_ms + n),
            tz_min=0,
            how="live",
            subject=step.subject,
            data=step.data,
        )
        assert is_ulid(identity)
        _part(copy, state, referenced_ids(record))
        fold(copy, record)
    return copy


def _copy(state: State) -> State:
    """A second state. The rows of single things are still shared; `_part` parts them before they are added to.

    What is settled stays where it stands, and what was worked out of a thing holds until a step touches the thing.
    """
    copy = State(state.source, state.settled)
    copy.notice_with(state)
    copy.records = state.records.copy()
    copy.kind_of = dict(state.kind_of)
    copy.index = dict(state.index)
    copy.corrected_by = defaultdict(list, state.corrected_by)
    copy.withdrawn_by = defaultdict(list, state.withdrawn_by)
    copy.codes = defaultdict(set, state.codes)
    copy.issued = state.issued
    copy.of_kind = defaultdict(set, {what: set(things) for what, things in state.of_kind.items()})
    copy.lined = defaultdict(list, {what: list(things) for what, things in state.lined.items()})
    copy.oddly = set(state.oddly)
    copy.with_timer = set(state.with_timer)
    copy.open = defaultdict(set, {what: set(things) for what, things in state.open.items()})
    copy.unknown = list(state.unknown)
    copy.last = state.last
    copy.worked, copy.worked_from = dict(state.worked), dict(state.worked_from)
    return copy


def _part(copy: State, state: State, things: Iterable[str]) -> None:
    for thing in things:
        rows = state.index.get(thing)
        if rows is not None and copy.index.get(thing) is rows:
            copy.index[thing] = {kind: list(found) for kind, found in rows.items()}
