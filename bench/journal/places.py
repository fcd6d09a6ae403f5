"""Where each line of the data file stands: its key to its position, its position to its bytes.

Millions of keys are kept as one sorted array instead of as objects of their own: 26 bytes a key, and 12 for where it
stands. What came since, and every key of another length, is kept in a small dictionary beside it.
"""

from array import array
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

import numpy as np

KEY_LENGTH = 26
KEY_TYPE = f"S{KEY_LENGTH}"
MANY = 100_000


def _keys(keys: Iterable[bytes]) -> Any:
    return np.frombuffer(b"".join(keys), KEY_TYPE)


def is_usual(key: str) -> bool:
    """Whether a key goes into the sorted array."""
    return len(key) == KEY_LENGTH and key.isascii()


@dataclass(frozen=True)
class Settled:
    """The lines that were there before. `starts` are in the order of the file; `spots` go with the sorted `keys`."""

    keys: Any = field(default_factory=lambda: np.empty(0, KEY_TYPE))
    spots: Any = field(default_factory=lambda: np.empty(0, np.int32))
    starts: Any = field(default_factory=lambda: np.empty(0, np.int64))
    end: int = 0  # behind the newline of the last line

    def spot(self, key: str) -> int | None:
        """The position of a key, or None."""
        raw = key.encode()
        # A new key is later than all that is settled, and that is the question asked of each record that is written.
        if not len(self.keys) or raw > self.keys[-1]:
            return None
        at = int(self.keys.searchsorted(raw))
        return int(self.spots[at]) if at < len(self.keys) and self.keys[at] == raw else None

    def span(self, spot: int) -> tuple[int, int]:
        """The first byte of a line, and the one behind its last."""
        after = int(self.starts[spot + 1]) - 2 if spot + 1 < len(self.starts) else self.end - 1
        return int(self.starts[spot]), after

    def doubled(self) -> bool:
        """Whether a key stands here twice."""
        return bool((self.keys[1:] == self.keys[:-1]).any())


@dataclass
class Layers:
    """The settled lines, and the ones that came since."""

    settled: Settled = field(default_factory=Settled)
    fresh: dict[str, int] = field(default_factory=dict)  # the odd keys of what is settled among them
    starts: "array[int]" = field(default_factory=lambda: array("q"))
    stops: "array[int]" = field(default_factory=lambda: array("q"))

    def add(self, key: str, start: int, stop: int) -> int:
        """Takes note of a line, the last one of the file, and tells its position."""
        spot = len(self.settled.starts) + len(self.starts)
        self.starts.append(start)
        self.stops.append(stop)
        self.fresh[key] = spot
        return spot

    def settle(self) -> "Layers":
        """The same, with everything settled."""
        old = self.settled
        if not self.starts:
            return self
        usual = sorted((k.encode(), n) for k, n in self.fresh.items() if is_usual(k))
        keys, spots = _keys(k for k, _ in usual), np.array([n for _, n in usual], np.int32)
        at = old.keys.searchsorted(keys)
        starts = np.concatenate((old.starts, np.frombuffer(self.starts, np.int64)))
        merged = np.insert(old.keys, at, keys), np.insert(old.spots, at, spots), starts
        odd = {k: n for k, n in self.fresh.items() if not is_usual(k)}
        return Layers(Settled(*merged, self.stops[-1] + 1), odd)


class Places:
    """All lines of an open file. One thread at a time may add; any number may look at the same time."""

    def __init__(self, layers: Layers | None = None) -> None:
        self.layers = layers or Layers()

    def __len__(self) -> int:
        layers = self.layers
        return len(layers.settled.starts) + len(layers.starts)

    def find(self, key: str) -> int | None:
        """The position of a key's line, counted from 0 in the order of the file; None when there is none."""
        layers = self.layers
        spot = layers.fresh.get(key)
        return spot if spot is not None or not is_usual(key) else layers.settled.spot(key)

    def span(self, spot: int) -> tuple[int, int]:
        """The first byte of a line, and the one behind its last."""
        layers = self.layers
        settled = len(layers.settled.starts)
        if spot < settled:
            return layers.settled.span(spot)
        return layers.starts[spot - settled], layers.stops[spot - settled]

    def spans(self, first: int, stop: int) -> list[tuple[int, int]]:
        """As `span`, of each of a stretch of positions."""
        starts = self.layers.settled.starts[first : stop + 1].tolist()  # the last one's end is told by the next start
        known = [(start, after - 2) for start, after in pairwise(starts)]
        return known + [self.span(spot) for spot in range(first + len(known), stop)]

    def add(self, key: str, start: int, stop: int) -> int:
        """Takes note of a line that was appended."""
        if len(self.layers.starts) >= MANY:
            self.settle()
        return self.layers.add(key, start, stop)

    def settle(self) -> Layers:
        """Sorts in what came since; whoever looks meanwhile sees the same."""
        self.layers = self.layers.settle()
        return self.layers

    def odd(self) -> list[str]:
        """Every key that is no plain ULID: further keys of an id that two records claim, for the most part."""
        return [key for key in self.layers.fresh.copy() if not is_usual(key)]


class Gathering:
    """Collects lines in the order of the file, in little memory, on opening it."""

    def __init__(self, layers: Layers) -> None:
        self._count = len(layers.settled.starts)
        self._keys: list[Any] = [layers.settled.keys]
        self._spots: list[Any] = [layers.settled.spots]
        self._starts: list[Any] = [layers.settled.starts]
        self._odd = dict(layers.fresh)
        self.doubled = False

    def take(self, keys: list[bytes], starts: list[int]) -> None:
        """The next lines of the file, by their keys and first bytes."""
        spots = np.arange(self._count, self._count + len(keys), dtype=np.int32)
        self._count += len(keys)
        self._starts.append(np.array(starts, np.int64))
        words = [(key, key.decode("utf-8", "replace")) for key in keys if len(key) != KEY_LENGTH or not key.isascii()]
        if words:
            strange = dict(words)
            usual = np.array([key not in strange for key in keys], bool)
            for key, spot in zip(keys, spots, strict=True):
                if key in strange:
                    self.doubled |= strange[key] in self._odd
                    self._odd[strange[key]] = int(spot)
            keys, spots = [key for key in keys if key not in strange], spots[usual]
        self._keys.append(_keys(keys))
        self._spots.append(spots)

    def gathered(self, end: int) -> Layers:
        """All of them, sorted; `end` is behind the last line's newline."""
        keys, spots = np.concatenate(self._keys), np.concatenate(self._spots)
        if len(self._keys) > 1:
            order = np.argsort(keys, kind="stable")
            keys, spots = keys[order], spots[order]
        settled = Settled(keys, spots, np.concatenate(self._starts), end)
        self.doubled |= settled.doubled()
        return Layers(settled, self._odd)
