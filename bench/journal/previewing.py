"""What a copy holds and what taking it in would bring, before anything is done."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from bench.journal.damage import describe, records_in_words
from bench.journal.envelopes import read_line
from bench.journal.kept_lines import Lines
from bench.journal.merging import data_file, read_file
from bench.journal.scanning import Counts
from bench.journal.trouble import Unusable
from bench.journal.writing import same_record
from bench.records.moments import utc_text
from bench.translation import _

STRANGE = _("The two sides share no record. This copy may be another workshop’s.")


@dataclass(frozen=True)
class Preview:
    """A copy against the data file: what is new here and there, and which ids have different records on both sides."""

    name: str
    records: int
    newest_ms: int
    new_here: int
    new_there: int
    differ: int
    damage: tuple[str, ...]
    highs: Mapping[str, int]

    @property
    def strange(self) -> bool:
        """Whether both hold records and none in common: the copy may be another workshop's."""
        return self.records == self.new_here > 0 and self.new_there > 0

    @property
    def holds(self) -> list[str]:
        """What the copy holds, in words, and whether it may be a stranger's."""
        newest = _(", the newest of {day}", day=utc_text(self.newest_ms)[:10]) if self.newest_ms else ""
        held = records_in_words(self.records)
        told = [_("{name} holds {records}{newest}.", name=self.name, records=held, newest=newest), *self.damage]
        return told + ([STRANGE] if self.strange else [])

    @property
    def sentences(self) -> list[str]:
        """All of it in words."""
        told = self.holds
        told.append(
            _(
                "New here: {new_here:,}. Only here, not in {name}: {new_there:,}.",
                new_here=self.new_here,
                name=self.name,
                new_there=self.new_there,
            )
        )
        told.append(
            _("Disagreeing records: {differ:,}.", differ=self.differ)
            + (_(" Both are kept and shown.") if self.differ else "")
        )
        return told


def preview(source: Path, ours: Lines) -> Preview:
    """Compares a file, or the one in a folder, with the open data file. Unusable when it cannot be read or is none."""
    file = data_file(source)
    found = read_file(file)
    if not found.lines and not found.clean:
        raise Unusable(describe(found, name=file.name)[0])
    counts, new, differ = Counts(), 0, 0
    for key, line in found.lines.items():
        counts.take(line)
        known = ours.line(key)
        new += known is None
        differ += known is not None and known != line and not _same(key, known, line)
    newest = max((mark[0] for mark in counts.marks.values()), default=0)
    only_here = len(ours) - (len(found.lines) - new)
    return Preview(file.name, len(found.lines), newest, new, only_here, differ, tuple(describe(found)), counts.highs)


def _same(key: str, one: bytes, two: bytes) -> bool:
    try:
        return same_record(read_line(key, one), read_line(key, two))
    except ValueError:
        return False
