"""Long lists of records that are read only where somebody looks: a page of them costs a page, however long they are."""

from bisect import bisect_left
from collections.abc import Callable, Sequence
from typing import Any, overload

from bench.records.record import Record

Load = Callable[[int], Record]


class Listed(Sequence[Record]):
    """Records in their order, some of them only as positions at which they can be read. A slice of it is read."""

    def __init__(self, places: Sequence[int | Record], load: Load) -> None:
        self._places, self._load = places, load

    def __len__(self) -> int:
        return len(self._places)

    @overload
    def __getitem__(self, at: int) -> Record: ...
    @overload
    def __getitem__(self, at: slice) -> list[Record]: ...
    def __getitem__(self, at: int | slice) -> Record | list[Record]:
        found = self._places[at]
        if isinstance(at, slice):
            return [self._read(place) for place in found]  # type: ignore[union-attr]
        return self._read(found)  # type: ignore[arg-type]

    def _read(self, place: int | Record) -> Record:
        return self._load(place) if isinstance(place, int) else place

    def newest_first(self) -> "Listed":
        """The same records, the last one first."""
        return Listed(self._places[::-1], self._load)


def joined(settled: Sequence[int], fresh: Sequence[Record], load: Load) -> Listed:
    """Settled records and fresh ones as one list in order; nearly always the fresh ones are the last."""
    places: list[int | Record] = list(settled)
    for record in fresh:
        at = len(places)
        if places and Listed(places, load)[-1].order > record.order:
            at = bisect_left(Listed(places, load), record.order, key=lambda one: one.order)
        places.insert(at, record)
    return Listed(places, load)


def part_of(lists: Sequence[Sequence[Record]], start: int, size: int) -> list[Record]:
    """`size` records from place `start` on of what several lists in order would be as one, without reading them all."""
    ends = _split(lists, start + size)
    begins = _split(lists, start)
    found = [one for each, low, high in zip(lists, begins, ends, strict=True) for one in each[low:high]]
    return sorted(found, key=lambda one: one.order)


def _split(lists: Sequence[Sequence[Record]], rank: int) -> list[int]:
    """How many records of each list are among the first `rank` of all."""
    low, high = [0] * len(lists), [len(each) for each in lists]
    if rank >= sum(high):
        return high
    while any(a < b for a, b in zip(low, high, strict=True)):
        widest = max(range(len(lists)), key=lambda n: high[n] - low[n])
        middle = (low[widest] + high[widest]) // 2
        key: Any = lists[widest][middle].order
        before = [_below(each, key, a, b) for each, a, b in zip(lists, low, high, strict=True)]
        before[widest] = middle
        if sum(before) <= rank:
            # All before the middle one are among the first; so is it, where there are fewer before it.
            low = [max(a, n) for a, n in zip(low, before, strict=True)]
            if sum(before) < rank:
                low[widest] = max(low[widest], middle + 1)
            else:
                return before
        else:
            high = [min(b, n) for b, n in zip(high, before, strict=True)]
    return low


def _below(each: Sequence[Record], key: Any, low: int, high: int) -> int:
    return bisect_left(each, key, low, high, key=lambda one: one.order)
