"""A folder that several benches write to: a stick, a share, a folder that a service copies between computers.

    FOLDER/saggar/<bench>/<32 of SHA-256>.records     written once, never changed; every bench reads all of them
    FOLDER/saggar/photos/<SHA-256>.<ending>

Each bench writes under its own name, and a file's name follows from its content. So no file ever has two versions: a
service has nothing to get wrong, and a bench that was put back to an older copy writes over nothing. The live data file
never lies there. Each file has the form of a data file: of one that was cut, the whole lines count, and the rest is
given again by whoever has it.
"""

import hashlib
from collections.abc import Collection, Iterable, Iterator
from contextlib import suppress
from pathlib import Path

from bench.journal.carrier import Index, Name, Outline, Run, head_of, name_of, run_of
from bench.journal.disk import replace_file
from bench.journal.lines import render
from bench.journal.photos import sha256_of
from bench.journal.survey import survey

SMALL, MANY = 256 * 1024, 40
SUFFIX = ".records"


class SharedFolder:
    """The carrier over a folder, for the bench called `bench`."""

    def __init__(self, folder: Path, bench: str) -> None:
        self.folder = folder
        self._root = folder / "saggar"
        self._own, self._photos = self._root / bench, self._root / "photos"
        self._read: dict[Path, tuple[tuple[int, int], dict[Name, bytes]]] = {}
        self._indexed: tuple[dict[Path, tuple[int, int]], Index] | None = None

    def outline(self) -> Outline:
        return self._index().outline()

    def names(self, runs: Collection[Run]) -> set[Name]:
        return self._index().names(runs)

    def take(self, names: Collection[Name]) -> Iterator[tuple[Name, bytes]]:
        wanted = set(names)
        for _, held in self._files().values():
            yield from ((name, held[name]) for name in held.keys() & wanted)

    def give(self, lines: list[bytes]) -> int:
        here = {name for _, held in self._files().values() for name in held}
        fresh = [line for line in lines if name_of(line) not in here]
        if fresh:
            self._write(fresh)
            self._gather()
        return len(fresh)

    def photos(self) -> set[str]:
        return {path.stem for path in self._photos.glob("*") if len(path.stem) == 64 and path.suffix != ".new"}

    def take_photo(self, sha256: str, to: Path) -> Path | None:
        found = next((path for path in self._photos.glob(f"{sha256}.*") if path.suffix != ".new"), None)
        if found is None:
            return None
        if sha256_of(found) != sha256:
            found.unlink()  # cut or altered on its way: whoever has it whole gives it again
            return None
        to.mkdir(mode=0o700, parents=True, exist_ok=True)
        place = to / found.name
        replace_file(place, found.read_bytes())
        return place

    def give_photo(self, sha256: str, photo: Path) -> None:
        self._photos.mkdir(parents=True, exist_ok=True)
        replace_file(self._photos / f"{sha256}{photo.suffix}", photo.read_bytes())

    def _files(self) -> dict[Path, tuple[tuple[int, int], dict[Name, bytes]]]:
        found = {}
        for path in sorted(self._root.glob(f"*/*{SUFFIX}")):
            with suppress(FileNotFoundError):  # another bench has just gathered it into a larger one
                seen = path.stat()
                mark = (seen.st_size, seen.st_mtime_ns)
                known = self._read.get(path)
                found[path] = known if known is not None and known[0] == mark else (mark, _lines(path))
        self._read = found
        return found

    def _index(self) -> Index:
        """All that lies there, once each; made anew only when a file is another one."""
        files = self._files()
        seen = {path: mark for path, (mark, _) in files.items()}
        if self._indexed is None or self._indexed[0] != seen:
            lines = {name: line for _, held in files.values() for name, line in held.items()}
            index = Index()
            for name, line in lines.items():
                index.add(name, run_of(head_of(line)))
            self._indexed = (seen, index)
        return self._indexed[1]

    def _write(self, lines: Iterable[bytes]) -> Path:
        data = render(lines)
        self._own.mkdir(parents=True, exist_ok=True)
        path = self._own / f"{hashlib.sha256(data).hexdigest()[:32]}{SUFFIX}"
        if not path.exists() or path.read_bytes() != data:  # it was damaged there: what its name says comes back
            replace_file(path, data)
        return path

    def _gather(self) -> None:
        """Many small files of this bench become one; they go when that is lasting, and damaged ones never."""
        small = [path for path in sorted(self._own.glob(f"*{SUFFIX}")) if path.stat().st_size < SMALL]
        if len(small) < MANY:
            return
        surveyed = {path: survey(path.read_bytes()) for path in small}
        whole = self._write({line: None for found in surveyed.values() for line in found.lines.values()})
        for path, found in surveyed.items():
            if path != whole and found.clean:
                path.unlink()


def _lines(path: Path) -> dict[Name, bytes]:
    found = {}
    for line in survey(path.read_bytes()).lines.values():
        with suppress(ValueError, TypeError):
            found[name_of(line)] = line
    return found
