"""Opening the data file: made at once when it is missing, put right when it is damaged, and told in sentences."""

from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from bench.journal.disk import replace_file
from bench.journal.lines import HEAD, TAIL, body_of, record_id, render
from bench.journal.places import Layers, Places
from bench.journal.scanning import Counts, scan
from bench.journal.survey import Survey, survey
from bench.journal.trouble import Unusable


@dataclass(frozen=True)
class Opened:
    """Where the good lines of a data file stand, how far each device has counted in it, what a person should know,
    and whether records may be missing."""

    layers: Layers
    counts: Counts
    report: tuple[str, ...] = ()
    lossy: bool = False
    as_known: bool = False  # what was known of the file's start still stands in it


def open_file(
    path: Path, aside: Path, stamp: str, before: Layers | None = None, counts: Counts | None = None
) -> Opened:
    """Reads the data file at `path`, which is afterwards exactly as this program writes it.

    A damaged file is first copied into the folder `aside`, with `stamp` in its name. Unusable when the disk refuses.
    `before` is what is known of the start of the file, and true of it; `counts` goes with it.
    """
    counts = counts or Counts()
    try:
        _write_anew(path)
        if not path.exists():
            path.parent.mkdir(parents=True, exist_ok=True)
            replace_file(path, HEAD + TAIL)
            return Opened(Layers(), counts, _missing(path, aside))
        layers = scan(path, before or Layers(), counts)
        if layers is not None:
            return Opened(layers, counts, as_known=before is not None)
        raw = path.read_bytes()
        if before is not None and (cut := _cut_off(path, raw, before, counts, aside, stamp)) is not None:
            return cut
    except OSError as error:
        raise Unusable(f"The data file {path.name} cannot be read or made: {error.strerror}.") from error
    found = survey(raw)  # nothing that was known of the file counts now
    return _opened(found) if found.clean else _repair(path, raw, found, aside, stamp)


def mark_unsynced(path: Path) -> None:
    """Notes beside the data file that the disk did not confirm a write; the next opening then writes the file anew.

    After a failed sync a system may take what it could not write for written, and never try again.
    """
    with suppress(OSError):
        replace_file(_unsynced(path), b"")


def _unsynced(path: Path) -> Path:
    return path.with_suffix(".unsynced")


def _write_anew(path: Path) -> None:
    mark = _unsynced(path)
    if not mark.exists():
        return
    if path.exists():
        replace_file(path, path.read_bytes())
    mark.unlink()


def _cut_off(path: Path, raw: bytes, before: Layers, counts: Counts, aside: Path, stamp: str) -> Opened | None:
    """The file without its torn end, where that lies behind all that is known of it; None where anything else is wrong.

    It comes to what `_repair` would make of it, but what is known of its start need not be found out again.
    """
    start = before.settled.end
    if not len(before.settled.starts) or not raw.startswith(HEAD) or raw[start - 1 : start] != b"\n":
        return None
    places = Places(before)
    found = survey(HEAD + raw[start:].removeprefix(b","))
    odd = found.mended or found.doubled or found.twins or found.reformatted
    if odd or not found.torn or any(places.find(key) is not None for key in found.lines):
        return None
    if _missing_from(found, aside, places)[0]:
        return None
    try:
        kept = set_aside(raw, aside, f"{path.stem}-{stamp}", ".damaged")
        replace_file(path, raw[:start] + body_of(found.lines.values(), first=False) + TAIL)
    except OSError as error:
        raise _not_put_right(path, error) from error
    layers, at = Layers(before.settled, dict(before.fresh)), start + 1
    for key, line in found.lines.items():
        layers.add(key, at, at + len(line))
        counts.take(line)
        at += len(line) + 2
    return Opened(layers.settle(), counts, (*describe(found), _kept(aside, kept)), as_known=True)


def _opened(found: Survey, report: tuple[str, ...] = (), lossy: bool = False) -> Opened:
    # A whole file with these lines stands on the disk now.
    layers, counts, at = Layers(), Counts(), len(HEAD)
    for key, line in found.lines.items():
        layers.add(key, at, at + len(line))
        counts.take(line)
        at += len(line) + 2
    return Opened(layers.settle(), counts, report, lossy)


def _missing(path: Path, backups: Path) -> tuple[str, ...]:
    newest = max(backups.glob("*.backup"), default=None)
    if newest is None:
        return ()
    return (
        f"There was no {path.name}, so a new one was made. The newest backup is {backups.name}/{newest.name}: "
        f"to go on with it, close the bench and copy it over {path.name}.",
    )


def _repair(path: Path, raw: bytes, found: Survey, aside: Path, stamp: str) -> Opened:
    try:
        kept = set_aside(raw, aside, f"{path.stem}-{stamp}", ".damaged")
        refilled, source = _refill(found, aside)
        replace_file(path, render(found.lines.values()))
    except OSError as error:
        raise _not_put_right(path, error) from error
    report = describe(found)
    if refilled:
        report.append(f"{_count(refilled, 'record')} that the file no longer had came back from {source}.")
    report.append(_kept(aside, kept))
    return _opened(found, tuple(report), lossy=not found.torn and bool(found.lost))


def _kept(aside: Path, kept: Path) -> str:
    return f"The file as it was found is kept as {aside.name}/{kept.name}."


def _not_put_right(path: Path, error: OSError) -> Unusable:
    return Unusable(
        f"The data file {path.name} is damaged and cannot be put right: {error.strerror}. "
        "Nothing in it was changed. Free some space on the disk, then open it again."
    )


def describe(found: Survey) -> list[str]:
    """What is wrong with a data file, in sentences; none when it is clean."""
    told: list[str] = []
    if found.torn:
        told.append(
            "The end of the file was cut off, as a power cut in the middle of a write leaves it. "
            "Such a write had not been confirmed; every whole record before it is kept."
        )
    elif found.lost:
        told.append(
            f"The file is damaged: {_count(len(found.lost), 'place')} in it cannot be read, "
            f"so records may be missing: {_listed(found.lost)}."
        )
    if found.mended:
        told.append(
            f"{_count(found.mended, 'record')} had a single damaged bit; "
            "the check sum showed which one, so nothing of it is lost."
        )
    if found.twins:
        told.append(f"{_count(found.twins, 'id')} stood there twice with different content; both are kept and shown.")
    if found.doubled:
        told.append(f"{_count(found.doubled, 'record')} stood there twice; the copy was left out.")
    if found.reformatted:
        told.append("The file had been written anew by another program; its records were checked one by one.")
    if not told and not found.clean:
        told.append("The frame around the records was damaged; every record in it is whole.")
    return told


def set_aside(raw: bytes, folder: Path, stem: str, suffix: str) -> Path:
    """Keeps bytes in `folder` under a name that was not taken yet."""
    folder.mkdir(parents=True, exist_ok=True)
    number, path = 1, folder / f"{stem}{suffix}"
    while path.exists():
        number += 1
        path = folder / f"{stem}-{number}{suffix}"
    replace_file(path, raw)
    return path


def _refill(found: Survey, backups: Path) -> tuple[int, str]:
    # Records never change, so what the newest sound backup holds is as good as what was lost.
    missing, source = _missing_from(found, backups)
    found.lines.update(missing)
    return len(missing), source


def _missing_from(found: Survey, backups: Path, known: Places | None = None) -> tuple[dict[str, bytes], str]:
    """What the newest sound backup holds and neither a survey nor what is known does, and the backup's name."""
    for backup in sorted(backups.glob("*.backup"), reverse=True):
        other = survey(backup.read_bytes())
        if other.clean:
            lines = {k: line for k, line in other.lines.items() if k not in found.lines and record_id(k) == k}
            missing = {k: line for k, line in lines.items() if known is None or known.find(k) is None}
            return missing, f"{backups.name}/{backup.name}"
    return {}, ""


def _count(n: int, noun: str) -> str:
    return f"{n} {noun}{'' if n == 1 else 's'}"


def _listed(words: list[str]) -> str:
    more = len(words) - 5
    return ", ".join(words[:5]) + (f", and {more} more" if more > 0 else "")
