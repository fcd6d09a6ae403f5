"""Photos and attached files of a bench against those of a carrier: by their sums, and only those that records name."""

from collections.abc import Callable, Iterable
from pathlib import Path

from bench.journal.carrier import Carrier
from bench.journal.photos import NAMED_BY, named_file, sha256_of
from bench.records.record import Record

Named = tuple[str, str]
"""The ULID that a record gives to a file, and the SHA-256 that the file must have."""


class SyncPhotos:
    """The photos of one bench. `by` finds records."""

    def __init__(self, folder: Path, by: Callable[[str, str], list[Record]]) -> None:
        self._folder, self._by = folder, by
        self._sums: dict[tuple[str, int, int], str] = {}

    def lacking(self, carrier: Carrier, coming: Iterable[Named] = ()) -> tuple[list[Named], list[Named]]:
        """What the bench lacks and the carrier has, and the other way round. `coming`: named by records on the way."""
        there = carrier.photos()
        known = [named_file(kind, record.data) for kind in NAMED_BY for record in self._by("kind", kind)]
        files = self._files()
        here, going = [], []
        for photo, sha256 in dict.fromkeys([*filter(None, known), *coming]):
            good = self._good(files.get(photo, ()), sha256) is not None
            if good and sha256 not in there:
                going.append((photo, sha256))
            elif not good and sha256 in there:
                here.append((photo, sha256))
        return here, going

    def bring(self, carrier: Carrier) -> tuple[int, int]:
        """Brings each side what it lacks, and tells how many came and went."""
        here, going = self.lacking(carrier)
        came = self._take_all(carrier, here)
        return came, self.give(carrier, going)

    def give(self, carrier: Carrier, named: Iterable[Named]) -> int:
        """Gives the carrier these, and tells how many are here as they were recorded."""
        files, count = self._files(), 0
        for photo, sha256 in named:
            file = self._good(files.get(photo, ()), sha256)
            if file is not None:
                carrier.give_photo(sha256, file)
                count += 1
        return count

    def fetch(self, carrier: Carrier) -> int:
        """Brings the bench what it lacks, and tells how many came."""
        return self._take_all(carrier, self.lacking(carrier)[0])

    def _take_all(self, carrier: Carrier, named: Iterable[Named]) -> int:
        count = 0
        for photo, sha256 in named:
            came = carrier.take_photo(sha256, self._folder)
            if came is not None:
                came.replace(self._folder / f"{photo}{came.suffix}")
                count += 1
        return count

    def _files(self) -> dict[str, list[Path]]:
        found: dict[str, list[Path]] = {}
        for path in sorted(self._folder.glob("*")):
            if path.suffix != ".new":
                found.setdefault(path.name.partition(".")[0], []).append(path)
        return found

    def _good(self, files: Iterable[Path], sha256: str) -> Path | None:
        return next((file for file in files if self._sum(file) == sha256), None)

    def _sum(self, file: Path) -> str:
        seen = file.stat()
        key = (file.name, seen.st_size, seen.st_mtime_ns)
        if key not in self._sums:
            self._sums[key] = sha256_of(file)
        return self._sums[key]
