"""Bringing a bench and a carrier to hold the same: what each lacks is brought to it, and nothing is ever taken away.

Nothing is remembered between two times but what was refused, so nothing can be remembered wrongly: after a pulled
stick, a kill or a restored copy the next time finds the difference anew. Each part is lasting before the next begins.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path
from threading import RLock

from bench.journal.damage import many
from bench.journal.disk import replace_file
from bench.journal.envelopes import read_line
from bench.journal.lines import doc_of, key_of, record_id
from bench.journal.photos import NAMED_BY, find_photo, named_file, sha256_of
from bench.journal.receipts import Merged
from bench.journal.shared_folder import Carrier, Name, name_of
from bench.journal.table import Lines
from bench.journal.verify import devices_of, ranges
from bench.records.record import Record

AT_ONCE = 500
NOT_TAKEN = "not-taken.txt"


@dataclass
class Difference:
    """What each side lacks. `differ`: ids of which both sides hold another record."""

    new_here: set[Name] = field(default_factory=set)
    new_there: set[Name] = field(default_factory=set)
    differ: int = 0
    photos_here: list[tuple[str, str]] = field(default_factory=list)  # ULID and SHA-256
    photos_there: list[tuple[str, str]] = field(default_factory=list)
    in_common: int = 0
    devices: set[str] = field(default_factory=set)  # whose records come
    sentences: list[str] = field(default_factory=list)

    @property
    def strange(self) -> bool:
        """Whether both sides hold records and none in common: it may be another workshop's."""
        return bool(self.new_here and self.new_there) and not self.in_common

    @property
    def nothing(self) -> bool:
        """Whether both hold the same."""
        return not (self.new_here or self.new_there or self.photos_here or self.photos_there)


@dataclass
class Synced:
    """What was brought, each way."""

    new_here: int = 0
    new_there: int = 0
    photos_here: int = 0
    photos_there: int = 0
    sentences: list[str] = field(default_factory=list)

    @property
    def moved(self) -> bool:
        """Whether anything was brought anywhere."""
        return bool(self.new_here or self.new_there or self.photos_here or self.photos_there)


class Syncing:
    """One open bench, ready to be brought together with a carrier. One at a time."""

    def __init__(
        self,
        folder: Path,
        lines: Lines,
        merge: Callable[[Iterable[object]], Merged],
        by: Callable[[str, str], list[Record]],
        own: Callable[[], str],
    ) -> None:
        self._folder, self._lines, self._merge, self._by, self._own = folder, lines, merge, by, own
        self._sums: dict[tuple[str, int, int], str] = {}
        self._names: dict[Name, int] = {}
        self._seen = 0
        self._turn = RLock()

    def preview(self, carrier: Carrier) -> Difference:
        """What bringing both together would do. Nothing is moved."""
        with self._turn:
            ours, there = self._ours(), carrier.names()
            found = Difference(there - ours.keys() - self._not_taken(), ours.keys() - there)
            found.in_common = len(ours.keys() & there)
            coming = list(carrier.take(found.new_here))
            found.differ = sum(self._lines.line(record_id(key_of(line))) is not None for line in coming)
            found.photos_here, found.photos_there = self._photos(carrier, coming)
            counted = Counter(filter(None, map(_device, coming)))
            found.devices = set(counted)
            found.sentences = _own_back(self._own(), counted[self._own()])
            return found

    def sync(self, carrier: Carrier) -> Synced:
        """Brings both to hold the same, both ways, photos after records. OSError, NotKept as far as it came."""
        with self._turn:
            before = self.preview(carrier)
            done = Synced(sentences=list(before.sentences))
            coming, handed = carrier.take(before.new_here), set[Name]()
            while part := list(islice(coming, AT_ONCE)):
                merged = self._merge({"id": record_id(key_of(line)), **doc_of(line)} for line in part)
                done.new_here += merged.new + merged.conflicts
                done.sentences += [say for say in merged.sentences if say not in done.sentences]
                handed.update(map(name_of, part))
            self._note_not_taken(handed - self._ours().keys())
            done.sentences += self._numbers(before.devices)
            going = (self._lines.at(self._names[name]) for name in before.new_there)
            while part := list(islice(going, AT_ONCE * 10)):
                carrier.give(part)
                done.new_there += len(part)
            self._bring_photos(carrier, done)
            return done

    # Records ----------------------------------------------------------------------------------------------------

    def _ours(self) -> dict[Name, int]:
        """The names of all records of the bench and where each stands."""
        count = len(self._lines)
        for spot in range(self._seen, count):
            with suppress(ValueError, TypeError):
                self._names[name_of(self._lines.at(spot))] = spot
        self._seen = count
        return self._names

    def _not_taken(self) -> set[Name]:
        """What this bench refused or reads otherwise: another may understand it, so it is left where it lies."""
        try:
            return {bytes.fromhex(row) for row in self._note().read_text("ascii").split()}
        except (OSError, ValueError):
            return set()

    def _note_not_taken(self, names: set[Name]) -> None:
        if names:
            everything = sorted(self._not_taken() | names)
            with suppress(OSError):
                replace_file(self._note(), "".join(f"{name.hex()}\n" for name in everything).encode())

    def _note(self) -> Path:
        return self._folder / "keys" / NOT_TAKEN

    def _numbers(self, devices: set[str]) -> list[str]:
        """What the numbers of some devices tell: used twice by two copies of a folder, or in no copy yet."""
        told = []
        for device in devices_of(record for name in devices for record in self._by("device", name)):
            if device.twice:
                twice = ranges(tuple((n, n) for n in device.twice))
                told.append(
                    f"Two copies of a folder wrote as {device.name}: numbers {twice} stand twice. Both are kept."
                )
            if device.missing:
                told.append(f"Of {device.name} numbers {ranges(device.missing)} are in no copy yet.")
        return told

    # Photos -----------------------------------------------------------------------------------------------------

    def _photos(
        self, carrier: Carrier, coming: Iterable[bytes] = ()
    ) -> tuple[list[tuple[str, str]], list[tuple[str, str]]]:
        """The photos and attached files that records name and one side lacks."""
        there = carrier.photos()
        known = [named_file(kind, record.data) for kind in NAMED_BY for record in self._by("kind", kind)]
        here, to_give = [], []
        for photo, sha256 in [*filter(None, known), *_photos_in(coming)]:
            file = find_photo(self._folder / "photos", photo)
            good = file is not None and self._sum(file) == sha256
            if good and sha256 not in there:
                to_give.append((photo, sha256))
            elif not good and sha256 in there:
                here.append((photo, sha256))
        return here, to_give

    def _sum(self, file: Path) -> str:
        seen = file.stat()
        key = (file.name, seen.st_size, seen.st_mtime_ns)
        if key not in self._sums:
            self._sums[key] = sha256_of(file)
        return self._sums[key]

    def _bring_photos(self, carrier: Carrier, done: Synced) -> None:
        folder = self._folder / "photos"
        here, to_give = self._photos(carrier)
        for photo, sha256 in here:
            came = carrier.take_photo(sha256, folder)
            if came is not None:
                came.replace(folder / f"{photo}{came.suffix}")
                done.photos_here += 1
        for photo, sha256 in to_give:
            file = find_photo(folder, photo)
            if file is not None:
                carrier.give_photo(sha256, file)
                done.photos_there += 1


def _own_back(own: str, count: int) -> list[str]:
    if not count:
        return []
    return [
        f"From there come {many(count, 'record')} that were written here as {own}. "
        "This folder is an older copy, or two copies of it are in use; from now on it writes under another name."
    ]


def _device(line: bytes) -> str | None:
    try:
        return read_line(key_of(line), line).device
    except ValueError:
        return None


def _photos_in(lines: Iterable[bytes]) -> Iterator[tuple[str, str]]:
    for line in lines:
        doc = doc_of(line)
        data = doc.get("data")
        named = named_file(str(doc.get("kind")), data) if isinstance(data, dict) else None
        if named is not None:
            yield named
