"""How far this folder is known to have counted, beside what the data file says: a file that holds less is not whole.

`keys/device.txt` has the last number of this bench, `keys/closed.txt` those of all devices when the bench was closed,
the snapshot and each backup their own. What was found missing stays in `keys/missing.txt` until the file holds it
again, or until somebody goes on without it; the gaps that were gone on without are in `keys/without.txt`.
`keys/second.txt` names the second folder and the backups there that are of this bench: the setting that names the
folder goes away with the file, and other benches may keep theirs beside them.
"""

from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path

from bench.journal.damage import Gone
from bench.journal.disk import replace_file
from bench.journal.identity import read_note
from bench.journal.rights import private
from bench.journal.snapshot import SNAPSHOT, highs_beside

KEYS = "keys"
MISSING, CLOSED, SECOND, WITHOUT = "missing.txt", "closed.txt", "second.txt", "without.txt"
OF_OTHERS = "shared-by-others.txt"
"""The note that a folder holds what another workshop shares, and nothing of the bench's own."""


def noted_marks(folder: Path) -> dict[str, int]:
    """The highest number of each device that is noted in this data folder, its backups left aside."""
    note = read_note(folder / KEYS / "device.txt")
    marks = {note[0]: note[1]} if note is not None else {}
    return highest(marks, missing_marks(folder), _read(folder / KEYS / CLOSED), highs_beside(folder / SNAPSHOT))


def missing_marks(folder: Path) -> dict[str, int]:
    """The numbers that were found missing before, and that nobody has gone on without."""
    return _read(folder / KEYS / MISSING)


def note_closed(folder: Path, marks: Mapping[str, int]) -> None:
    """Notes how far all devices had counted when the bench was closed. Never raises: it is a hint."""
    path = folder / KEYS / CLOSED
    with suppress(OSError):
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        beside = path.with_suffix(".new")
        with open(beside, "wb", opener=private) as file:
            file.write(_text(marks))
        beside.replace(path)


def note_missing(folder: Path, marks: Mapping[str, int]) -> None:
    """Notes up to which numbers something is missing, or takes the note away. Never raises: it is a hint."""
    path = folder / KEYS / MISSING
    with suppress(OSError):
        if not marks:
            path.unlink(missing_ok=True)
            return
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        replace_file(path, _text(marks))


def note_without(folder: Path, gaps: Iterable[Gone]) -> None:
    """Notes which numbers in between somebody goes on without. Never raises: they are asked about again then."""
    path = folder / KEYS / WITHOUT
    rows = "".join(f"{gap.device} {gap.first} {gap.last}\n" for gap in gaps)
    with suppress(OSError):
        if not rows:
            path.unlink(missing_ok=True)
            return
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        replace_file(path, rows.encode())


def gone_on_without(folder: Path) -> list[Gone]:
    """The numbers in between that somebody goes on without."""
    try:
        rows = [row.split() for row in (folder / KEYS / WITHOUT).read_text("utf-8").splitlines()]
        return [Gone(name, int(first), int(last)) for name, first, last in rows]
    except (OSError, ValueError):
        return []


def of_others(folder: Path) -> bool:
    """Whether a folder holds what another workshop shares: a part of its records, so numbers are not there."""
    return (folder / KEYS / OF_OTHERS).exists()


def note_of_others(folder: Path, workshop: str = "") -> None:
    """Notes that a folder holds what another workshop shares. OSError when the disk refuses."""
    if not of_others(folder) or workshop_of(folder) != workshop:
        (folder / KEYS).mkdir(mode=0o700, parents=True, exist_ok=True)
        replace_file(folder / KEYS / OF_OTHERS, workshop.encode())


def workshop_of(folder: Path) -> str:
    """Whose records a folder holds; empty where they are the bench's own, or of somebody whose name was not noted."""
    try:
        return (folder / KEYS / OF_OTHERS).read_text("utf-8")
    except (OSError, ValueError):
        return ""


def note_second(folder: Path, second: Path, names: list[str]) -> None:
    """Notes which backups in the second folder are this bench's own. Never raises: it is a hint."""
    path = folder / KEYS / SECOND
    if second_note(folder) == (second, names):
        return
    with suppress(OSError):
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        replace_file(path, "\n".join([str(second), *names]).encode())


def forget_second(folder: Path) -> None:
    """What lies in the second folder is not asked about any more. Never raises."""
    with suppress(OSError):
        (folder / KEYS / SECOND).unlink(missing_ok=True)


def second_note(folder: Path) -> tuple[Path | None, list[str]]:
    """The second folder as it was noted, and the names of the backups there that are this bench's own."""
    try:
        second, *names = (folder / KEYS / SECOND).read_text("utf-8").split("\n")
        return Path(second), names
    except (OSError, ValueError):
        return None, []


def highest(*several: Mapping[str, int]) -> dict[str, int]:
    """The highest number of each device in any of these."""
    found: dict[str, int] = {}
    for marks in several:
        for name, number in marks.items():
            found[name] = max(number, found.get(name, 0))
    return {name: number for name, number in found.items() if number}


def _read(path: Path) -> dict[str, int]:
    try:
        rows = [row.split() for row in path.read_text("utf-8").splitlines()]
        return {name: int(number) for name, number in rows}
    except (OSError, ValueError):
        return {}


def _text(marks: Mapping[str, int]) -> bytes:
    return "".join(f"{name} {number}\n" for name, number in sorted(marks.items())).encode()
