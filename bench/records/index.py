"""Which records touch which thing, in arrays: the settled part of a state, small enough for a million records.

Records are numbered by their positions in the data file, and read from there when somebody asks for them.
"""

from collections.abc import Callable, Iterator, MutableMapping
from dataclasses import dataclass, field
from typing import Any, Protocol

import numpy as np

from bench.records.record import Record

THING_LENGTH = 26
THING_TYPE = f"S{THING_LENGTH}"
MOST_KINDS = 1 << 16
Index = dict[str, dict[str, list[Record]]]


class Source(Protocol):
    """Where settled records are read from."""

    def find(self, record_id: str) -> int | None:
        """The position of the record that counts for an id; None when there is none."""

    def load(self, spot: int) -> Record:
        """The record at a position."""

    def walk(self, stop: int) -> Iterator[Record]:
        """Every record that counts, before a position, in the order of the file."""


@dataclass(frozen=True)
class RecordIndex:
    """Positions by thing and kind. Group g is kind `kinds[group_kinds[g]]` of one thing, rows[starts[g]:starts[g+1]].

    The groups of thing n are first[n] to first[n + 1]; `things` is sorted.
    """

    count: int = 0  # how many records are settled
    stop: int = 0  # they stand before this position
    kinds: tuple[str, ...] = ()
    things: Any = field(default_factory=lambda: np.empty(0, THING_TYPE))
    first: Any = field(default_factory=lambda: np.zeros(1, np.int32))
    group_kinds: Any = field(default_factory=lambda: np.empty(0, np.int32))
    starts: Any = field(default_factory=lambda: np.zeros(1, np.int32))
    rows: Any = field(default_factory=lambda: np.empty(0, np.int32))

    def about(self, thing: str) -> dict[str, Any]:
        """The positions of the records that touch a thing, by kind."""
        raw = thing.encode()
        at = int(self.things.searchsorted(raw)) if len(raw) == THING_LENGTH else len(self.things)
        if at == len(self.things) or self.things[at] != raw:
            return {}
        groups = range(int(self.first[at]), int(self.first[at + 1]))
        return {
            self.kinds[self.group_kinds[g]]: self.rows[self.starts[g] : self.starts[g + 1]].tolist() for g in groups
        }


class Records(MutableMapping[str, Record]):
    """All records by id: the settled ones from their source, and those that came since."""

    def __init__(self, source: Source, count: int, stop: int) -> None:
        self._source, self._count, self._stop = source, count, stop
        self.fresh: dict[str, Record] = {}

    def copy(self) -> "Records":
        """A second mapping over the same source: what is added to one is not in the other."""
        found = Records(self._source, self._count, self._stop)
        found.fresh = dict(self.fresh)
        return found

    def _spot(self, record_id: object) -> int | None:
        spot = self._source.find(record_id) if isinstance(record_id, str) else None
        return spot if spot is not None and spot < self._stop else None

    def __contains__(self, record_id: object) -> bool:
        return record_id in self.fresh or self._spot(record_id) is not None

    def __getitem__(self, record_id: str) -> Record:
        found = self.fresh.get(record_id)
        if found is not None:
            return found
        spot = self._spot(record_id)
        if spot is None:
            raise KeyError(record_id)
        return self._source.load(spot)

    def get(self, record_id: str, default: Any = None) -> Any:
        """The record of an id, or the default: without the error that its absence would be."""
        found = self.fresh.get(record_id)
        if found is None and (spot := self._spot(record_id)) is not None:
            found = self._source.load(spot)
        return default if found is None else found

    def __setitem__(self, record_id: str, record: Record) -> None:
        self.fresh[record_id] = record

    def __delitem__(self, record_id: str) -> None:
        raise TypeError("no record is ever taken away")

    def __len__(self) -> int:
        return self._count + len(self.fresh)

    def __iter__(self) -> Iterator[str]:
        for record in self._source.walk(self._stop):
            yield record.id
        yield from self.fresh


def packs(thing: str) -> bool:
    """Whether a thing's name fits: what is no ULID stays outside of the arrays."""
    return len(thing) == THING_LENGTH and thing.isascii()


def packed(old: RecordIndex, index: Index, spot_of: Callable[[Record], int], load: Callable[[int], Record],
           count: int, stop: int) -> RecordIndex:  # fmt: skip
    """`old` with the records of an index added. Things whose names do not fit are left out."""
    kinds = list(old.kinds)
    numbers = {kind: n for n, kind in enumerate(kinds)}
    names = sorted(thing.encode() for thing in index if packs(thing))
    added = np.array(names, THING_TYPE) if names else np.empty(0, THING_TYPE)
    at = old.things.searchsorted(added)
    there = np.zeros(len(added), bool)
    inside = at < len(old.things)
    there[inside] = old.things[at[inside]] == added[inside]
    things = np.insert(old.things, at[~there], added[~there])
    groups: list[tuple[int, list[Record]]] = []
    for number, name in zip(things.searchsorted(added).tolist(), names, strict=True):
        for kind, rows in index[name.decode()].items():
            if kind not in numbers:
                numbers[kind] = len(kinds)
                kinds.append(kind)
            groups.append((number * MOST_KINDS + numbers[kind], rows))
    groups.sort(key=lambda pair: pair[0])
    old_thing = np.repeat(things.searchsorted(old.things), np.diff(old.first))
    rows, keys, starts = _merged(old, old_thing * MOST_KINDS + old.group_kinds, groups, spot_of, load)
    first = keys.searchsorted(np.arange(len(things) + 1, dtype=np.int64) * MOST_KINDS)
    small = (first.astype(np.int32), (keys % MOST_KINDS).astype(np.int32), starts.astype(np.int32), rows)
    return RecordIndex(count, stop, tuple(kinds), things, *small)


def _merged(old: RecordIndex, old_keys: Any, groups: list[tuple[int, list[Record]]],
            spot_of: Callable[[Record], int], load: Callable[[int], Record]) -> tuple[Any, Any, Any]:  # fmt: skip
    # Each key's old rows, and the new ones behind them; where the new ones belong between them, that group is sorted.
    old_lengths = np.diff(old.starts).astype(np.int64)
    new_keys = np.array([key for key, _ in groups], np.int64)
    new_lengths = np.array([len(rows) for _, rows in groups], np.int64)
    # Both are sorted already, so the new ones are put between the old ones; nothing is sorted again.
    at = old_keys.searchsorted(new_keys)
    there = np.zeros(len(new_keys), bool)
    inside = at < len(old_keys)
    there[inside] = old_keys[at[inside]] == new_keys[inside]
    keys = np.insert(old_keys, at[~there], new_keys[~there])
    old_at, new_at = keys.searchsorted(old_keys), keys.searchsorted(new_keys)
    lengths = np.zeros(len(keys), np.int64)
    lengths[old_at] = old_lengths
    before = lengths.copy()
    lengths[new_at] += new_lengths
    starts = np.concatenate((np.zeros(1, np.int64), np.cumsum(lengths)))
    rows = np.empty(int(starts[-1]), np.int32)
    rows[_places(starts[old_at], old_lengths)] = old.rows
    spots = np.array([spot_of(record) for _, found in groups for record in found], np.int32)
    rows[_places(starts[new_at] + before[new_at], new_lengths)] = spots
    for at, (_, found) in zip(new_at.tolist(), groups, strict=True):
        if before[at] and load(int(rows[starts[at] + before[at] - 1])).order > found[0].order:
            low, high = int(starts[at]), int(starts[at + 1])
            rows[low:high] = sorted(rows[low:high].tolist(), key=lambda spot: load(spot).order)
    return rows, keys, starts


def _places(starts: Any, lengths: Any) -> Any:
    # The places start, start + 1, … of every stretch, one stretch behind the other.
    total = int(lengths.sum())
    offsets = np.arange(total) - np.repeat(np.cumsum(lengths) - lengths, lengths)
    return np.repeat(starts, lengths) + offsets
