"""Filing: how one record changes the state, and what of it is to be worked out again.

A fold only files records: under each thing they touch, by kind, in order. So any set of records in any order folds to
the same state, and a fold has nothing to raise about.
"""

from bisect import insort
from collections.abc import Iterable
from typing import Any

from bench.records.kinds import MAKERS
from bench.records.noticed import Key
from bench.records.record import Record
from bench.records.references import is_known, referenced_ids, thing_made, undoes, withdraws
from bench.records.state import CODE, ISSUED, TIMERS, State
from bench.records.store import ALL_OF, KINDS_ABOUT, MADE, OPEN, RECORD, by_order

ENDERS = frozenset({"closed", "opened", "gathered", "judged", "crucible.seen"})
"""The kinds that can end what they touch; what another kind makes is looked at where it is made."""
NAMING = ("weighed", "charged", "gathered")
"""The kinds by which a batch or a charge names the jars and crucibles that it has to do with."""
SUMMED = ("jar", "crucible")
WORN = ("cracked", "broken", "retired")
FINAL_VERDICTS = ("keep", "tint", "discard")


def fold(state: State, record: Record) -> State:
    """Files one record; the same record twice changes nothing. Gives the state back, so folds can be chained."""
    return state if record.id in state.records else file_new(state, record)


def file_new(state: State, record: Record) -> State:
    """As `fold`, for a record of which the caller knows that its id was not filed yet."""
    identity, kind, order = record.id, record.kind, record.order
    state.records[identity] = record
    if identity in state.kind_of:  # the thing of this name was known before the record that made it
        line = state.lined[state.kind_of[identity]]
        line.remove(identity)
        state.touch([(state.kind_of[identity], ALL_OF), (state.kind_of[identity], OPEN)])
        _line_up(state, identity, line)
        state.oddly.add(identity)
    if state.last is None or order > state.last.order:
        state.last = record
    if not is_known(record):
        insort(state.unknown, record, key=by_order)
        return state
    undone, touched = undoes(record), referenced_ids(record)
    if undone:
        _undo(state, record)
    for thing in touched:
        if _file_under(state.index.setdefault(thing, {}), record, order):
            state.touch([(thing, KINDS_ABOUT)])
        if state.timed:
            state.sort_in(thing, record)
    if kind == "timer.set":
        state.with_timer.add(record.subject)
        state.touch([("", TIMERS)])
    elif kind in ("code.issued", "code.assigned"):
        _codes(state, record)
    made = _make(state, record) if kind in MAKERS else set()
    if undone or kind in ENDERS:
        made |= _changed(state, record, touched)
    for thing in made:
        _open(state, thing)
    _touch(state, record, touched)
    state.revision += 1  # last of all: what a reader works out of a half-filed record is then known to be old
    return state


def _file_under(kinds: dict[str, list[Record]], record: Record, order: Any) -> bool:
    """Files a record among those of its kind, of which it nearly always is the last; gives whether it is the first."""
    rows = kinds.get(record.kind)
    if rows is None:
        kinds[record.kind] = [record]
        return True
    if rows[-1].order < order:
        rows.append(record)
    else:
        insort(rows, record, key=by_order)
    return False


def _touch(state: State, record: Record, touched: set[str]) -> None:
    """Marks what the record changes: what was worked out from it is worked out again when somebody asks."""
    if not state.is_heeded and not state.worked:
        return
    keys = {(thing, record.kind) for thing in touched} | {(record.id, RECORD)}
    for one in _undone(state, record):
        keys |= {(thing, one.kind) for thing in referenced_ids(one)} | {(one.id, RECORD), (one.id, MADE)}
    state.touch(keys)
    if state.worked:
        _forget(state, {thing for thing, _ in keys}, keys, bool(undoes(record)))


def _forget(state: State, touched: set[str], keys: set[Key], undid: bool) -> None:
    """Forgets what was worked out of the things that a record touches, and of the jars and crucibles of their batches.

    How much a jar still holds, and whether a crucible is free, rests on the records of the batches and charges that
    were taken from it or stood in it. What is undone may reach anywhere.
    """
    for thing in touched:
        state.forget(thing, keys)
        if state.kind_of.get(thing) in ("batch", "charge"):
            named = (referenced_ids(row) for kind in NAMING for row in state.touching(thing, kind))
            for other in set().union(*named):
                state.forget(other, keys)
    if undid:
        for other in (thing for what in SUMMED for thing in state.of_kind.get(what, ())):
            state.forget(other, keys)


def fold_all(records: Iterable[Record]) -> State:
    """The state that a set of records folds to."""
    state = State()
    for record in records:
        fold(state, record)
    return state


def _undo(state: State, record: Record) -> None:
    for target in record.corrects:
        state.corrected_by[target].append(record.id)
    for target in withdraws(record):
        state.withdrawn_by[target].append(record.id)
    state.standing.clear()
    state.timed.clear()


def _codes(state: State, record: Record) -> None:
    state.touch([("", ISSUED)])
    if record.kind == "code.issued":
        state.issued.update(record.data["codes"])
    if record.kind == "code.assigned":
        state.issued.add(record.data["code"])
        state.codes[record.data["code"]].add(record.subject)
        state.touch([(record.data["code"], CODE)])


def _make(state: State, record: Record) -> set[str]:
    """Names the thing that a record makes; gives back the things that this record may have made or unmade."""
    things = {state.made(record)} if record.kind != "opened" else _rechain(state, record)
    for thing in things:
        if thing is not None:
            _name(state, thing)
    return {t for t in things if t is not None}


def _rechain(state: State, record: Record) -> set[str | None]:
    # Openings are filed under all that they correct. One that arrives late in the middle lengthens the others' chains.
    things: set[str | None] = set()
    for opened in [record, *state.touching(record.id, "opened")]:
        chain = state.chain(opened)
        things.update(chain)
        for thing in chain:
            if all(r.id != opened.id for r in state.touching(thing, "opened")):
                insort(state.index.setdefault(thing, {}).setdefault("opened", []), opened, key=by_order)
    return things


def _name(state: State, thing: str) -> None:
    kinds = (k for k in state.kinds_about(thing) if k in MAKERS)
    claims = [MAKERS[k] for k in kinds if any(state.made(r) == thing for r in state.touching(thing, k))]
    # Two sorts that claim one name cannot come from an honest device; the choice must only not depend on the order.
    what = min(claims, default=None)
    before = state.kind_of.get(thing)
    state.touch([(thing, MADE), *((sort, lists) for sort in (before, what) if sort for lists in (ALL_OF, OPEN))])
    if before is not None and before != what:
        state.of_kind[before].discard(thing)
        state.open[before].discard(thing)
        state.lined[before].remove(thing)
        del state.kind_of[thing]
    if what is None:
        state.oddly.discard(thing)
        return
    if before != what:
        _line_up(state, thing, state.lined[what])
    state.kind_of[thing] = what
    state.of_kind[what].add(thing)
    (state.oddly.discard if _plainly_made(state, thing, what) else state.oddly.add)(thing)


def _line_up(state: State, thing: str, line: list[str]) -> None:
    # Nearly always it is the newest one.
    if line and state.made_at(line[-1]) > state.made_at(thing):
        insort(line, thing, key=state.made_at)
    else:
        line.append(thing)


def _plainly_made(state: State, thing: str, what: str) -> bool:
    record = state.records.get(thing)
    if record is None or not is_known(record) or MAKERS.get(record.kind) != what:
        return False
    return thing_made(record) == thing and not (record.kind == "opened" and record.corrects)


def _undone(state: State, record: Record) -> list[Record]:
    """The records that a record undoes, and those that they had undone, and so on: they stand or fall anew."""
    found: dict[str, Record] = {}
    ahead = [record]
    while ahead:
        for target in undoes(ahead.pop()):
            undone = state.records.get(target)
            if undone is not None and is_known(undone) and target not in found and target != record.id:
                found[target] = undone
                ahead.append(undone)
    return list(found.values())


def _changed(state: State, record: Record, touched: set[str]) -> set[str]:
    # The things that this record may have opened or closed, by itself or by undoing what undid something.
    found = touched if record.kind in ENDERS else set()
    for undone in _undone(state, record):
        found = found | referenced_ids(undone)
    for thing in found - touched:
        state.forget(thing)
    return found


def _open(state: State, thing: str) -> None:
    what = state.kind_of.get(thing)
    if what is None:
        return
    ended = _ended(state, thing, what)
    if ended == (thing in state.open[what]):
        state.touch([(what, OPEN)])
        (state.open[what].discard if ended else state.open[what].add)(thing)


def _ended(state: State, thing: str, what: str) -> bool:
    # A charge ends when its crucible is emptied; a crucible when it is worn out; a pigment when nothing more is to be
    # done with it.
    if what == "charge":
        return state.emptied(thing)
    if what == "crucible" and (seen := state.by_time(thing, "crucible.seen")) and seen[-1].data["condition"] in WORN:
        return True
    judged = state.by_time(thing, "judged") if what in ("pigment", "swatch") else []
    final = bool(judged) and judged[-1].data["verdict"] in FINAL_VERDICTS
    return final or bool(state.own(thing, "closed"))
