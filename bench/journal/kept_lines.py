"""The records of the file by their keys, each read where it lies only when somebody asks for it."""

from collections.abc import ItemsView, Iterator, Mapping
from typing import Any

from bench.journal.disk import Reader
from bench.journal.lines import doc_of, key_of
from bench.journal.places import Places


class Lines(Mapping[str, dict[str, Any]]):
    """The records by their keys. A line is only read when somebody asks for it, and every reader gets its own copy."""

    def __init__(self, places: Places, reader: Reader) -> None:
        self.places, self._reader = places, reader

    def read(self, start: int, stop: int) -> bytes:
        """The bytes of the file from `start` up to `stop`."""
        return self._reader.read(start, stop)

    def at(self, spot: int) -> bytes:
        """The line at a position."""
        return self.read(*self.places.span(spot))

    def line(self, key: str) -> bytes | None:
        """The line under a key, or None."""
        spot = self.places.find(key)
        return None if spot is None else self.at(spot)

    def __getitem__(self, key: str) -> dict[str, Any]:
        line = self.line(key)
        if line is None:
            raise KeyError(key)
        return doc_of(line)

    def __len__(self) -> int:
        return len(self.places)

    def __contains__(self, key: object) -> bool:
        return isinstance(key, str) and self.places.find(key) is not None

    def __iter__(self) -> Iterator[str]:
        return (key_of(self.at(spot)) for spot in range(len(self)))  # what is appended meanwhile is not walked

    def items(self) -> ItemsView[str, dict[str, Any]]:
        return _Items(self)


class _Items(ItemsView[str, dict[str, Any]]):
    def __init__(self, lines: Lines) -> None:
        super().__init__(lines)
        self._lines = lines

    def __iter__(self) -> Iterator[tuple[str, dict[str, Any]]]:
        found = (self._lines.at(spot) for spot in range(len(self._lines)))
        return ((key_of(line), doc_of(line)) for line in found)
