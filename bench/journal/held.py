"""What an open bench holds, by name: made when it is first asked for, and brought up to date from the file's end."""

from array import array
from collections import Counter
from collections.abc import Iterable
from contextlib import suppress
from threading import Lock

from bench.journal.carrier import Index, Name, Run, run_of, told_by
from bench.journal.kept_lines import Lines


class Held:
    """The names of all records of the bench. Safe to use from many threads."""

    def __init__(self, lines: Lines) -> None:
        self.lines = lines
        self._spots: dict[Name, int] = {}
        self._index = Index()
        self._numbers: dict[str, array[int]] = {}
        self._seen = 0
        self._turn = Lock()

    def look(self) -> int:
        """Takes in what was appended meanwhile, and tells how many lines of the file are known now."""
        with self._turn:
            for spot in range(self._seen, len(self.lines)):
                with suppress(ValueError, TypeError):
                    self._add(self.lines.at(spot), spot)
                self._seen = spot + 1
            return self._seen

    def outline(self) -> dict[Run, bytes]:
        """A fingerprint for each run."""
        self.look()
        with self._turn:
            return self._index.outline()

    def names(self, runs: Iterable[Run]) -> set[Name]:
        """The records of some runs."""
        with self._turn:
            return self._index.names(runs)

    def lacking(self, names: set[Name]) -> set[Name]:
        """Which of these are not here."""
        self.look()
        return names - self._spots.keys()

    def in_order(self, names: Iterable[Name]) -> list[int]:
        """Where these records stand in the file, in its order."""
        return sorted(self._spots[name] for name in names)

    def numbers(self, device: str) -> Counter[int]:
        """How often each number of a device is here."""
        self.look()
        with self._turn:
            return Counter(self._numbers.get(device, ()))

    def __len__(self) -> int:
        return len(self._spots)

    def _add(self, line: bytes, spot: int) -> None:
        told = told_by(line)
        name, (device, seq) = told.name, told.head
        if name not in self._spots:
            self._spots[name] = spot
            self._index.add(name, run_of(told.head))
            self._numbers.setdefault(device, array("q")).append(seq)
