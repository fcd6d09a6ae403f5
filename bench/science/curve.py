"""A curve of (minute, °C) kept as one table: read like a list of pairs, and worked on as a whole without walking it."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Any, overload

import numpy as np
from numpy.typing import NDArray

Pair = tuple[float, float]


class Curve(Sequence[Pair]):
    """Readings in the order of time. Whoever wants a table of them (`numpy.asarray`) gets it without a copy."""

    __slots__ = ("table",)

    def __init__(self, table: NDArray[np.float64]) -> None:
        self.table = table

    @classmethod
    def of(cls, pairs: Iterable[Pair]) -> "Curve":
        """The curve of these pairs; a curve stays the one that it is."""
        if isinstance(pairs, cls):
            return pairs
        return cls(np.asarray(list(pairs), dtype=float).reshape(-1, 2))

    @overload
    def __getitem__(self, place: int) -> Pair: ...
    @overload
    def __getitem__(self, place: slice) -> "Curve": ...
    def __getitem__(self, place: int | slice) -> "Pair | Curve":
        if isinstance(place, slice):
            return Curve(self.table[place])
        minute, c = self.table[place].tolist()
        return minute, c

    def __len__(self) -> int:
        return len(self.table)

    def __iter__(self) -> Iterator[Pair]:
        return ((minute, c) for minute, c in self.table.tolist())

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Sequence) and list(self) == list(other)

    __hash__ = None  # type: ignore[assignment]

    def __repr__(self) -> str:
        return f"Curve({list(self)})"

    def __array__(self, dtype: Any = None, copy: bool | None = None) -> NDArray[Any]:
        return np.array(self.table, dtype=dtype) if copy else np.asarray(self.table, dtype=dtype)

    @property
    def minutes(self) -> NDArray[np.float64]:
        """The minutes alone."""
        return self.table[:, 0]

    @property
    def c(self) -> NDArray[np.float64]:
        """The temperatures alone, in °C."""
        return self.table[:, 1]

    def between(self, low: float, high: float) -> "Curve":
        """The part from one minute to another, both included."""
        first = int(np.searchsorted(self.minutes, low, "left"))
        return Curve(self.table[first : int(np.searchsorted(self.minutes, high, "right"))])


class Growing:
    """A table of pairs to which more are added at its end; what was read of it before stays as it was."""

    def __init__(self) -> None:
        self._room = np.empty((64, 2))
        self._count = 0

    @property
    def table(self) -> NDArray[np.float64]:
        """All pairs so far."""
        return self._room[: self._count]

    def add(self, pairs: Sequence[Pair]) -> None:
        """Puts more pairs behind those that are there."""
        count = self._count + len(pairs)
        if count > len(self._room):
            room = np.empty((2 * count, 2))
            room[: self._count] = self.table
            self._room = room
        if pairs:
            self._room[self._count : count] = pairs
        self._count = count
