"""A settled state as arrays and plain values, and back: what can be kept beside the records."""

from typing import Any

from bench.records.index import RecordIndex, Source
from bench.records.state import State

ARRAYS = ("things", "first", "group_kinds", "starts", "rows")


def plain_of(state: State) -> tuple[dict[str, Any], dict[str, Any]]:
    """What a state holds when all of it is settled."""
    assert state.source is not None and not state.index
    settled = state.settled
    arrays = {f"state.{name}": getattr(settled, name) for name in ARRAYS}
    plain = {
        "count": settled.count,
        "stop": settled.stop,
        "kinds": settled.kinds,
        "lined": state.lined,
        "oddly": sorted(state.oddly),
        "with_timer": sorted(state.with_timer),
        "worked": state.worked,
        "open": {what: sorted(things) for what, things in state.open.items()},
        "codes": {code: sorted(things) for code, things in state.codes.items()},
        "issued": sorted(state.issued),
        "corrected_by": state.corrected_by,
        "withdrawn_by": state.withdrawn_by,
        "unknown": [state.source.find(record.id) for record in state.unknown],
        "last": None if state.last is None else state.source.find(state.last.id),
    }
    return arrays, plain


def filled(source: Source, arrays: dict[str, Any], plain: dict[str, Any]) -> State:
    """The state that `plain_of` was given."""
    parts = {name: arrays[f"state.{name}"] for name in ARRAYS}
    state = State(source, RecordIndex(plain["count"], plain["stop"], tuple(plain["kinds"]), **parts))
    for what, things in plain["lined"].items():
        state.lined[what] = things
        state.of_kind[what] = set(things)
        state.kind_of.update(dict.fromkeys(things, what))
    state.oddly, state.with_timer, state.worked = set(plain["oddly"]), set(plain["with_timer"]), plain["worked"]
    state.open.update((what, set(things)) for what, things in plain["open"].items())
    state.codes.update((code, set(things)) for code, things in plain["codes"].items())
    state.issued.update(plain["issued"])
    state.corrected_by.update(plain["corrected_by"])
    state.withdrawn_by.update(plain["withdrawn_by"])
    state.unknown = [source.load(spot) for spot in plain["unknown"]]
    state.last = None if plain["last"] is None else source.load(plain["last"])
    return state
