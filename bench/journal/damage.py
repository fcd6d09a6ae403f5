"""What is wrong with a data file, in sentences: the same on opening it, on verifying it, and on a copy of it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from bench.journal.scanning import Counts
from bench.journal.survey import Survey

POWER_CUT = (
    "The end of the file was cut off, as a power cut in the middle of a write leaves it. "
    "Such a write had not been confirmed; every whole record before it is kept."
)
IS = {
    "empty": "{name} is empty: not one byte is left in it.",
    "zeros": "{name} holds nothing but zeros, as a failing disk or a broken copy leaves it.",
    "other": "{name} is not a data file of this bench.",
}


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


def describe(found: Survey, expected: Mapping[str, int] | None = None, name: str = "The file") -> list[str]:
    """What is wrong with a data file, in sentences; none when it is clean and holds all that is expected of it.

    `expected` is the highest number that each device is known to have reached in it: only where it reaches no further
    can a torn end be called a power cut.
    """
    lacking = gone(highs_of(found.lines.values()), expected) if expected else []
    told = _nature(found, bool(lacking), name)
    if lacking:
        told.append(say_gone(lacking))
    told += [_say_doubtful(found)] if found.doubtful else []
    if found.mended:
        told.append(
            f"{many(found.mended, 'record')} had a single damaged bit; "
            "the check sum showed which one, so nothing of it is lost."
        )
    if found.twins:
        told.append(f"{many(found.twins, 'id')} stood there twice with different content; both are kept and shown.")
    if found.doubled:
        told.append(f"{many(found.doubled, 'record')} stood there twice; the copy was left out.")
    if found.reformatted:
        told.append("The file had been written again by another program; its records were checked one by one.")
    if not told and not found.clean:
        told.append("The frame around the records was damaged; every record in it is whole.")
    return told


def say_gone(lacking: list[Gone]) -> str:
    """A sentence on numbers that the file once held."""
    count = sum(one.count for one in lacking)
    said = "that was kept here is" if count == 1 else "that were kept here are"
    return f"At least {many(count, 'record')} {said} missing: {_where(lacking)}."


def say_gaps(gaps: list[Gone]) -> str:
    """Sentences on numbers in between: whether they were ever here cannot be told."""
    count = sum(one.count for one in gaps)
    if count == 1:
        return f"1 record in between is not here: {_where(gaps)}. It was lost, or has not come yet."
    return f"{many(count, 'record')} in between are not here: {_where(gaps)}. They were lost, or have not come yet."


def _where(several: list[Gone]) -> str:
    of_device: dict[str, list[tuple[int, int]]] = {}
    for one in several:
        of_device.setdefault(one.device, []).append((one.first, one.last))
    return listed([f"{_numbers(found)} of {device}" for device, found in of_device.items()], "; ")


def _say_doubtful(found: Survey) -> str:
    which = listed([f"number {doc['seq']} of {doc['device']}, “{doc['kind']}”" for doc in found.doubtful.values()])
    return (
        f"The file is damaged: {many(len(found.doubtful), 'record')} can be read, but the check sum does not fit "
        f"({which}). It may say something else than what was written."
    )


def _nature(found: Survey, lacking: bool, name: str) -> list[str]:
    if found.foreign:
        return [IS[found.foreign].format(name=name)]
    if found.torn and not lacking:
        return [POWER_CUT]
    if found.appended:
        left = f"{found.appended:,} byte{'' if found.appended == 1 else 's'}"
        return [f"Something else wrote {left} behind the end of the file. Every record before that is whole."]
    if found.torn:
        return ["The end of the file is missing. It had been on the disk, so no power cut took it."]
    told = []
    if found.lost:
        told.append(
            f"The file is damaged: {many(len(found.lost), 'place')} in it cannot be read, "
            f"so records may be missing: {listed(found.lost)}."
        )
    if found.cut:
        told.append("The end of the file is missing.")
    return told


def _numbers(several: list[tuple[int, int]]) -> str:
    one = len(several) == 1 and several[0][0] == several[0][1]
    return f"number{'' if one else 's'} {ranges(several)}"


def ranges(several: Sequence[tuple[int, int]]) -> str:
    """Ranges of numbers in words, the first few of many."""
    words = [str(low) if low == high else f"{low} to {high}" for low, high in several[:10]]
    more = len(several) - 10
    return ", ".join(words) + (f" and {more} more places" if more > 0 else "")


def many(n: int, noun: str) -> str:
    """A count with its noun: 1 record, 1,200 records."""
    return f"{n:,} {noun}{'' if n == 1 else 's'}"


def listed(words: list[str], between: str = ", ") -> str:
    """The first few of many words."""
    more = len(words) - 5
    return between.join(words[:5]) + (f"{between}and {more} more" if more > 0 else "")
