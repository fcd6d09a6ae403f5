"""What is wrong with a data file, in sentences: the same on opening it, on verifying it, and on a copy of it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from bench.journal.scanning import Counts
from bench.journal.survey import Survey
from bench.translation import _, many, together

POWER_CUT = _(
    "The end of the file was cut off, as by a power cut. That write was not confirmed. Every whole record "
    "before it is kept."
)


@dataclass(frozen=True)
class Gone:
    """Numbers of one device that the file does not hold: above all that it holds of it, or in between."""

    device: str
    first: int
    last: int

    @property
    def count(self) -> int:
        """How many numbers."""
        return self.last - self.first + 1

    def within(self, other: "Gone") -> bool:
        """Whether all of them are among others."""
        return self.device == other.device and other.first <= self.first and self.last <= other.last


def gone(highs: Mapping[str, int], expected: Mapping[str, int]) -> list[Gone]:
    """What is missing above `highs`, where each device is known to have counted up to `expected`."""
    return [Gone(name, highs.get(name, 0) + 1, to) for name, to in sorted(expected.items()) if to > highs.get(name, 0)]


def highs_of(lines: Iterable[bytes]) -> dict[str, int]:
    """The highest number of each device in these lines."""
    return counts_of(lines).highs


def counts_of(lines: Iterable[bytes]) -> Counts:
    """How far each device has counted in these lines, and the gaps below it."""
    counts = Counts()
    for line in lines:
        counts.take(line)
    return counts


def gaps_of(counts: Counts, settled: Iterable[Gone] = ()) -> list[Gone]:
    """The numbers in between that no record has, those left aside that somebody went on without."""
    found = [Gone(name, *gap) for name, gaps in sorted(counts.gaps.items()) for gap in tuple(gaps)]
    known = tuple(settled)
    return [gap for gap in found if not any(gap.within(one) for one in known)]


def describe(found: Survey, expected: Mapping[str, int] | None = None, name: str | None = None) -> list[str]:
    """What is wrong with a data file, in sentences; none when it is clean and holds all that is expected of it.

    `expected` is the highest number that each device is known to have reached in it: only where it reaches no further
    can a torn end be called a power cut.
    """
    lacking = gone(highs_of(found.lines.values()), expected) if expected else []
    told = _nature(found, bool(lacking), name or _("The file"))
    if lacking:
        told.append(say_gone(lacking))
    told += [_say_doubtful(found)] if found.doubtful else []
    if found.mended:
        told.append(
            _(
                "{records} had a single damaged bit. The check sum showed which bit, so nothing is lost.",
                records=records_in_words(found.mended),
            )
        )
    if found.twins:
        ids = many("{n:,} id", "{n:,} ids", found.twins)
        told.append(_("{ids} appeared twice with different content. Both are kept and shown.", ids=ids))
    if found.doubled:
        told.append(_("{records} appeared twice. The copy was left out.", records=records_in_words(found.doubled)))
    if found.reformatted:
        told.append(_("Another program rewrote the file. Its records were checked one by one."))
    if not told and not found.clean:
        told.append(_("The frame around the records was damaged; every record in it is whole."))
    return told


def say_gone(lacking: list[Gone]) -> str:
    """A sentence on numbers that the file once held."""
    count = sum(one.count for one in lacking)
    return many(
        "At least {n:,} record that was kept here is missing: {where}.",
        "At least {n:,} records that were kept here are missing: {where}.",
        count,
        where=_where(lacking),
    )


def say_gaps(gaps: list[Gone]) -> str:
    """Sentences on numbers in between: whether they were ever here cannot be told."""
    return many(
        "{n:,} record in between is not here: {where}. It was lost, or has not come yet.",
        "{n:,} records in between are not here: {where}. They were lost, or have not come yet.",
        sum(one.count for one in gaps),
        where=_where(gaps),
    )


def _where(several: list[Gone]) -> str:
    of_device: dict[str, list[tuple[int, int]]] = {}
    for one in several:
        of_device.setdefault(one.device, []).append((one.first, one.last))
    return listed([_numbers(found, device) for device, found in of_device.items()], "; ")


def _say_doubtful(found: Survey) -> str:
    which = listed([_record_named(doc["seq"], doc["device"], doc["kind"]) for doc in found.doubtful.values()])
    return _(
        "The file is damaged: {records} can be read, but their check sum is wrong ({which}). They may differ "
        "from what was written.",
        records=records_in_words(len(found.doubtful)),
        which=which,
    )


def _record_named(seq: object, device: object, kind: object) -> str:
    return _("number {n} of {device}, “{kind}”", n=seq, device=device, kind=kind)


def _what_it_is(foreign: str, name: str) -> str:
    if foreign == "empty":
        return _("{name} is empty: no byte is left.", name=name)
    if foreign == "zeros":
        return _("{name} holds only zeros, as after a failed disk or a broken copy.", name=name)
    return _("{name} is not a data file of this bench.", name=name)


def _nature(found: Survey, lacking: bool, name: str) -> list[str]:
    if found.foreign:
        return [_what_it_is(found.foreign, name)]
    if found.torn and not lacking:
        return [POWER_CUT]
    if found.appended:
        left = many("{n:,} byte", "{n:,} bytes", found.appended)
        return [_("Another program added {left} at the end of the file. Every record before that is whole.", left=left)]
    if found.torn:
        return [_("The end of the file is missing. It was on the disk, so a power cut is not the cause.")]
    told = []
    if found.lost:
        told.append(
            many(
                "The file is damaged: {n:,} place cannot be read. Records may be missing: {places}.",
                "The file is damaged: {n:,} places cannot be read. Records may be missing: {places}.",
                len(found.lost),
                places=listed(found.lost),
            )
        )
    if found.cut:
        told.append(_("The end of the file is missing."))
    return told


def _numbers(several: list[tuple[int, int]], device: str) -> str:
    if len(several) == 1 and several[0][0] == several[0][1]:
        return _("number {n} of {device}", n=several[0][0], device=device)
    return _("numbers {ranges} of {device}", ranges=ranges(several), device=device)


def ranges(several: Sequence[tuple[int, int]]) -> str:
    """Ranges of numbers in words, the first few of many."""
    words = [str(low) if low == high else _("{low} to {high}", low=low, high=high) for low, high in several[:10]]
    more = len(several) - 10
    first = together(words)
    return _("{first} and {more} more places", first=first, more=more) if more > 0 else first


def records_in_words(n: int) -> str:
    """How many records: 1 record, 1,200 records."""
    return many("{n:,} record", "{n:,} records", n)


def listed(words: list[str], between: str = ", ") -> str:
    """The first few of many words."""
    more = len(words) - 5
    first = together(words[:5], between)
    return _("{first}{between}and {more} more", first=first, between=between, more=more) if more > 0 else first
