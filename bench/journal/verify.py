"""Whether a data file is sound, in plain words. It reads only; nothing is changed and no lock is taken."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path
from threading import Event

from bench.journal.backups import Backups
from bench.journal.damage import counts_of, describe, gaps_of, gone, highs_of, ranges, records_in_words, say_gaps
from bench.journal.envelopes import read_line
from bench.journal.marks import gone_on_without, highest, noted_marks, of_others
from bench.journal.merging import FILE, data_file, read_file
from bench.journal.photos import photo_gaps
from bench.journal.survey import Survey, survey
from bench.journal.trouble import Unusable
from bench.journal.view import folded
from bench.records.record import Record
from bench.translation import _, many

TRIES, PAUSE_S = 4, 0.05
BRING_BACK = _("A phone that still holds them sends them. Merging another copy brings them back.")


@dataclass(frozen=True)
class Device:
    """What is held of one device: how many records, the highest number, ranges missing below it, numbers used twice."""

    name: str
    count: int
    high: int
    missing: tuple[tuple[int, int], ...] = ()
    twice: tuple[int, ...] = ()


@dataclass
class Verdict:
    """Whether a data file is sound, with the sentences to print.

    Not sound: bytes that are not as they were written, a line that is no record, a photo that was altered. `lacking`
    says that records are missing which nobody goes on without. Photos that have not arrived yet, and ids that two
    records claim, are told but leave the file sound and whole.
    """

    sound: bool = True
    lacking: bool = False
    sentences: list[str] = field(default_factory=list)
    records: int = 0
    devices: list[Device] = field(default_factory=list)
    conflicts: int = 0
    photos_missing: list[str] = field(default_factory=list)
    photos_altered: list[str] = field(default_factory=list)


def verify(path: Path) -> Verdict:
    """Judges a data file, a backup, or a folder's data file. Unusable when it cannot be read or is something else."""
    file = data_file(path)
    found = _read(file)
    verdict = Verdict(sound=found.clean)
    records = _records(found, verdict)
    verdict.records = len(records)
    head = _(
        "{name} is sound: {records}, and every check sum is right.",
        name=file.name,
        records=records_in_words(len(records)),
    )
    if not found.clean:
        head = _(
            "{name} is not sound: {records} in it can be read.", name=file.name, records=records_in_words(len(records))
        )
    verdict.sentences.insert(0, head)
    expected, offered = _expected(file), _offered(file, found)
    verdict.sentences += [*describe(found, expected, file.name), *offered]
    verdict.lacking = bool(offered or gone(highs_of(found.lines.values()), expected))
    if not found.clean:
        verdict.sentences.append(_("Nothing was changed. The bench repairs the file when it opens, and keeps a copy."))
    _tell_devices(verdict, records)
    _tell_gaps(verdict, found, file)
    _tell_conflicts(verdict, records)
    _tell_photos(verdict, records, file.parent / "photos")
    return verdict


def _expected(file: Path) -> Mapping[str, int]:
    """How far a data folder's own file is known to have counted; of any other file nothing is known."""
    if file.name != FILE:
        return {}
    return highest(noted_marks(file.parent), Backups(file.parent / "backups", reads_only=True).highs())


def _offered(file: Path, found: Survey) -> list[str]:
    if file.name != FILE:
        return []
    told = []
    for path in Backups(file.parent / "backups", reads_only=True).files():
        gains = sum(key not in found.lines for key in survey(path.read_bytes()).lines)
        if gains:
            lacking = many(
                "{n:,} missing record is in backups/{name}.",
                "{n:,} missing records are in backups/{name}.",
                gains,
                name=path.name,
            )
            told.append(lacking)
    return told[:1]


def devices_of(records: Iterable[Record]) -> list[Device]:
    """What is held of each device, by name."""
    numbers: dict[str, Counter[int]] = {}
    for record in records:
        numbers.setdefault(record.device, Counter())[record.seq] += 1
    return [device_of(name, counted) for name, counted in sorted(numbers.items())]


def device_of(name: str, counted: Counter[int]) -> Device:
    """What is held of one device, by how often each of its numbers is there."""
    there = [0, *sorted(counted)]
    missing = tuple((low + 1, high - 1) for low, high in pairwise(there) if high > low + 1)
    twice = tuple(sorted(n for n, times in counted.items() if times > 1))
    return Device(name, counted.total(), there[-1], missing, twice)


def _read(file: Path) -> Survey:
    found = read_file(file)
    try:
        raw = file.read_bytes()
        for _try in range(TRIES):
            if found.clean:
                break
            Event().wait(PAUSE_S)  # a bench that is open may be in the middle of a write
            again = file.read_bytes()
            if again == raw:
                break
            raw, found = again, survey(again)
    except OSError as error:
        raise Unusable(_("{name} cannot be read: {strerror}.", name=file.name, strerror=error.strerror)) from error
    if found.foreign == "other":
        raise Unusable(describe(found, name=file.name)[0])
    return found


def _records(found: Survey, verdict: Verdict) -> list[Record]:
    records = []
    for key, line in found.lines.items():
        try:
            records.append(read_line(key, line))
        except ValueError:
            verdict.sound = False
            verdict.sentences.append(_("The line of {key} is whole, but it holds no record.", key=key))
    return records


def _tell_devices(verdict: Verdict, records: list[Record]) -> None:
    verdict.devices = devices_of(records)
    for device in verdict.devices:
        gaps = _("missing: {numbers}", numbers=ranges(device.missing)) if device.missing else _("none missing")
        verdict.sentences.append(
            _(
                "{name}: {count}, numbers 1 to {high}, {gaps}.",
                name=device.name,
                count=records_in_words(device.count),
                high=device.high,
                gaps=gaps,
            )
        )
        if device.twice:
            verdict.sentences.append(
                _(
                    "{name}: {twice} used by two records each. Two copies of a folder, or a restored older "
                    "file, used the same numbers. Both are kept.",
                    name=device.name,
                    twice=ranges(tuple((n, n) for n in device.twice)),
                )
            )


def _tell_gaps(verdict: Verdict, found: Survey, file: Path) -> None:
    """The numbers in between that are not there, in the words in which the bench tells of them when it opens."""
    own = file.name == FILE
    counts = counts_of(found.lines.values())
    gaps = gaps_of(counts, gone_on_without(file.parent) if own else ())
    if not any(counts.gaps.values()):
        return
    if own and of_others(file.parent):
        verdict.sentences.append(
            _("Another workshop shares these records. What it does not share has its numbers too.")
        )
    elif gaps:
        verdict.lacking = True
        verdict.sentences.append(f"{say_gaps(gaps)} {BRING_BACK}")
    else:
        verdict.sentences.append(_("The bench continues without the missing numbers, as you chose."))


def _tell_conflicts(verdict: Verdict, records: list[Record]) -> None:
    view = folded(records)
    conflicts = view.conflicts()
    verdict.conflicts = len(conflicts)
    if conflicts:
        verdict.sentences.append(
            many(
                "{n:,} id claimed by records that differ: {ids}. All are kept; correct the wrong one on the bench.",
                "{n:,} ids claimed by records that differ: {ids}. All are kept; correct the wrong one on the bench.",
                len(conflicts),
                ids=", ".join(c.id for c in conflicts[:5]),
            )
        )
    verdict.sentences += view.unfolded
    verdict.sound &= not view.unfolded


def _tell_photos(verdict: Verdict, records: list[Record], folder: Path) -> None:
    for kind, how_many in (("photo.kept", _photos), ("file.attached", _files)):
        named = sum(record.kind == kind for record in records)
        missing, altered = photo_gaps(records, folder, kind)
        verdict.photos_missing += missing
        verdict.photos_altered += altered
        if missing:
            verdict.sentences.append(
                _("{files} not here yet: {names}.", files=how_many(len(missing)), names=", ".join(missing[:5]))
            )
        if altered:
            verdict.sound = False
            verdict.sentences.append(
                _("{files} not as recorded: {names}.", files=how_many(len(altered)), names=", ".join(altered[:5]))
            )
        elif named and not missing:
            verdict.sentences.append(_("{files} named, all there and unaltered.", files=how_many(named)))


def _photos(n: int) -> str:
    return many("{n:,} photo", "{n:,} photos", n)


def _files(n: int) -> str:
    return many("{n:,} attached file", "{n:,} attached files", n)
