"""Opening the data file: made at once when it is missing, put right when it is damaged, and told in sentences."""

import errno
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from bench.journal.damage import describe, gone, highs_of, records_in_words, say_gone
from bench.journal.disk import replace_file, set_aside
from bench.journal.lines import HEAD, TAIL, body_of, newer_layout, render
from bench.journal.marks import highest
from bench.journal.places import Layers, Places
from bench.journal.refilling import DOUBTFUL, doubtful_file, missing_from, refill
from bench.journal.scanning import Counts, Heard, scan, unheard
from bench.journal.survey import Survey, survey
from bench.journal.trouble import Unusable
from bench.translation import _

FULL = (errno.ENOSPC, errno.EDQUOT)


@dataclass(frozen=True)
class Opened:
    """Where the good lines of a data file stand, how far each device has counted in it, what a person should know,
    and whether records may be missing."""

    layers: Layers
    counts: Counts
    report: tuple[str, ...] = ()
    lossy: bool = False
    as_known: bool = False  # what was known of the file's start still stands in it
    new: bool = False  # there was none


def open_file(
    path: Path,
    aside: Path,
    stamp: str,
    before: Layers | None = None,
    counts: Counts | None = None,
    expected: Callable[[], Mapping[str, int]] = dict,
    heard: Heard = unheard,
) -> Opened:
    """Reads the data file at `path`, which is afterwards exactly as this program writes it.

    A damaged file is first copied into the folder `aside`, with `stamp` in its name. Unusable when the disk refuses.
    `before` is what is known of the start of the file, and true of it; `counts` goes with it. `expected` is asked,
    where something is wrong, how far each device is known to have counted.
    """
    counts = counts or Counts()
    try:
        _write_anew(path)
        if not path.exists():
            path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            replace_file(path, HEAD + TAIL)
            return Opened(Layers(), counts, new=True)
        layers = scan(path, before or Layers(), counts, heard)
        if layers is not None:
            return Opened(layers, counts, as_known=before is not None)
        raw = path.read_bytes()
        if (say := newer_layout(raw)) is not None:
            raise Unusable(_("{name} {what}", name=path.name, what=say))
        if before is not None and (cut := _cut_off(path, raw, before, counts, aside, stamp, expected)):
            return cut
    except OSError as error:
        raise Unusable(
            _("The data file {name} cannot be read or made: {strerror}.", name=path.name, strerror=error.strerror)
        ) from error
    found = survey(raw)  # nothing that was known of the file counts now
    return _opened(found) if found.clean else _repair(path, raw, found, aside, stamp, expected())


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


def _cut_off(
    path: Path,
    raw: bytes,
    before: Layers,
    counts: Counts,
    aside: Path,
    stamp: str,
    expected: Callable[[], Mapping[str, int]],
) -> Opened | None:
    """The file without its torn end, where that lies behind all that is known of it; None where anything else is wrong.

    It comes to what `_repair` would make of it, but what is known of its start need not be found out again.
    """
    start = before.settled.end
    if not len(before.settled.starts) or not raw.startswith(HEAD) or raw[start - 1 : start] != b"\n":
        return None
    places = Places(before)
    found = survey(HEAD + raw[start:].removeprefix(b","))
    odd = found.mended or found.doubled or found.twins or found.reformatted or found.doubtful
    if odd or not found.torn or any(places.find(key) is not None for key in found.lines):
        return None
    if gone(highest(counts.highs, highs_of(found.lines.values())), expected()) or missing_from(found, aside, places):
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


def _repair(path: Path, raw: bytes, found: Survey, aside: Path, stamp: str, expected: Mapping[str, int]) -> Opened:
    told = describe(found, expected, path.name)
    kept: list[Path] = []
    try:
        kept.append(set_aside(raw, aside, f"{path.stem}-{stamp}", ".damaged"))
        came = refill(found, aside)
        if found.doubtful:
            kept.append(set_aside(doubtful_file(found), aside, f"{path.stem}-{stamp}", DOUBTFUL))
        replace_file(path, render(found.lines.values()))
    except OSError as error:
        with suppress(OSError):  # else each try takes more of a disk that is full
            for copy in kept if path.read_bytes() == raw else ():
                copy.unlink()
        raise _not_put_right(path, error) from error
    told += [
        _(
            "{records} that the file no longer had came back from {source}.",
            records=records_in_words(count),
            source=source,
        )
        for source, count in came
    ]
    still = gone(highs_of(found.lines.values()), expected)
    told += [_("Still missing: {still}", still=say_gone(still))] if came and still else []
    told.append(_kept(aside, kept[0]))
    lossy = bool(still) or (not found.torn and bool(found.lost or found.cut or found.foreign or found.doubtful))
    return _opened(found, tuple(told), lossy)


def _kept(aside: Path, kept: Path) -> str:
    return _("The file as it was found is kept as {folder}/{name}.", folder=aside.name, name=kept.name)


def _not_put_right(path: Path, error: OSError) -> Unusable:
    advice = _("Free some space on the disk") if error.errno in FULL else _("Close every other program that may use it")
    return Unusable(
        _(
            "The data file {name} is damaged and cannot be repaired: {strerror}. Nothing in it was changed. "
            "{advice}, then open it again.",
            name=path.name,
            strerror=error.strerror,
            advice=advice,
        )
    )
