"""What is handed to the journal, and what it answers."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from bench.records.record import Record
from bench.translation import _

Status = Literal["new", "same", "conflict", "refused"]
CONFLICT = _("Another record has this id. Both are kept and shown until you correct one.")


@dataclass(frozen=True)
class Draft:
    """What a form says, before the journal gives it a device, a number and a time.

    `id` comes from the page, so that the same page sent twice is one record; without it the journal makes one.
    `subject` is the thing's ULID, or None when this record makes the thing: its own id is then the subject.
    """

    kind: str
    subject: str | None
    data: Mapping[str, Any]
    also: Mapping[str, str] | None = None
    id: str | None = None
    corrects: Sequence[str] = ()
    happened_at: str | None = None
    how: Literal["live", "late", "import"] = "live"
    entered_on: str | None = None
    assumed: Sequence[str] = ()


@dataclass(frozen=True)
class Sender:
    """The device on which a submit was made that the laptop reads: whose record it is, and its own time then.

    `at_ms` by the device's clock; `offset_ms` is what is added to it to get the laptop's, None when not measured.
    """

    device: str
    at_ms: int
    offset_ms: int | None = None
    tz_min: int = 0


@dataclass(frozen=True)
class Receipt:
    """The answer to one record, given when it is on the disk.

    new: kept now. same: it was here already. conflict: its id was taken by a different record; both are kept.
    refused: malformed, not kept; `say` tells why and `field` where. `record` is the one that was kept or found.
    """

    id: str | None
    status: Status
    say: str | None = None
    field: str | None = None
    record: Record | None = None


@dataclass(frozen=True)
class Conflict:
    """One id that different records claim, first by order; the first one counts in the state."""

    id: str
    records: tuple[Record, ...]


@dataclass
class Merged:
    """What a merge brought."""

    new: int = 0
    same: int = 0
    conflicts: int = 0
    refused: list[Receipt] = field(default_factory=list)
    photos: int = 0
    sentences: list[str] = field(default_factory=list)
