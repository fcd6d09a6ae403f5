"""Settled records, read from the data file when somebody asks for them, and the last ones asked for kept at hand."""

from collections.abc import Callable, Iterator
from typing import Any

from bench.journal.envelopes import read_line
from bench.journal.lines import is_sound, key_of
from bench.journal.places import Places
from bench.journal.trouble import Unusable
from bench.records.record import Record
from bench.translation import _

AT_HAND = 10_000
ALTERED = _(
    "The data file was changed by something else while the bench had it open. Close the bench and open it again."
)

A_PIECE = 1_000
"""So many lines are read at once where all of them are."""

Read = Callable[[int, int], bytes]


class Recent:
    """Up to twice `size` records by their positions: those asked for last."""

    def __init__(self, size: int = AT_HAND) -> None:
        self._size = size
        self._young: dict[int, Record] = {}
        self._old: dict[int, Record] = {}

    def get(self, spot: int) -> Record | None:
        found = self._young.get(spot)
        if found is None:
            found = self._old.get(spot)
            if found is not None:
                self.put(spot, found)
        return found

    def put(self, spot: int, record: Record) -> None:
        if len(self._young) >= self._size:
            self._young, self._old = {}, self._young
        self._young[spot] = record


class Shelf:
    """What a state reads its settled records from (`bench.records.index.Source`).

    `elsewhere`: ids whose record that counts does not stand under the id itself. `silent`: positions of lines that
    hold no record, or one that does not count.
    """

    def __init__(self, places: Places, read_bytes: Read) -> None:
        self.places, self._read_bytes = places, read_bytes
        self.elsewhere: dict[str, int] = {}
        self.silent: set[int] = set()
        self._recent = Recent()
        self.coming: dict[int, tuple[str, Record]] = {}  # on their way to the disk, by the positions they will have

    def line(self, spot: int) -> tuple[str, bytes]:
        """The key and the line at a position. Unusable when it is not as it was written."""
        line = self._read_bytes(*self.places.span(spot))
        if not is_sound(line):
            raise Unusable(ALTERED)
        return key_of(line), line

    def lines(self, spots: range) -> Iterator[tuple[int, str, bytes]]:
        """The positions, keys and lines of a stretch, read in large pieces. Unusable as `line` is."""
        at = spots.start
        while at < spots.stop:
            till = min(at + A_PIECE, spots.stop)
            spans = self.places.spans(at, till)
            first = spans[0][0]
            piece = self._read_bytes(first, spans[-1][1])
            for spot, (start, stop) in enumerate(spans, at):
                line = piece[start - first : stop - first]
                if not is_sound(line):
                    raise Unusable(ALTERED)
                yield spot, key_of(line), line
            at = till

    def find(self, record_id: str) -> int | None:
        """The position of the record that counts for an id; None when there is none."""
        if record_id in self.elsewhere:
            return self.elsewhere[record_id]
        spot = self.places.find(record_id)
        return None if spot is None or spot in self.silent else spot

    def load(self, spot: int) -> Record:
        """The record at a position."""
        coming = self.coming.get(spot)
        if coming is not None:
            return coming[1]
        record = self._recent.get(spot)
        if record is None:
            record = read_line(*self.line(spot))
            self._recent.put(spot, record)
        return record

    def walk(self, stop: int) -> Iterator[Record]:
        """Every record that counts, before a position, in the order of the file. None of them is kept at hand."""
        for spot, key, line in self.lines(range(stop)):
            if spot not in self.silent:
                yield read_line(key, line)

    def counts(self, record: Record, spot: int, key: str) -> None:
        """The record at a position is the one that counts for its id."""
        if key != record.id or record.id in self.elsewhere:
            self.elsewhere[record.id] = spot

    def begin_again(self) -> None:
        """Forgets which lines do not count: all are read again."""
        self.elsewhere, self.silent, self._recent = {}, set(), Recent()

    def plain(self) -> dict[str, Any]:
        """What a snapshot keeps of it."""
        return {"elsewhere": self.elsewhere, "silent": sorted(self.silent)}

    def fill(self, plain: dict[str, Any]) -> None:
        """Takes what a snapshot kept."""
        self.elsewhere, self.silent = dict(plain["elsewhere"]), set(plain["silent"])
