"""The envelope of a record: what every record carries, whatever its kind."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta, timezone
from functools import cached_property
from typing import Any, Literal, cast

from bench.records import schema
from bench.records.kinds import KINDS
from bench.records.moments import instant
from bench.science.refusal import Refusal
from bench.translation import _

BENCH = "00000000000000000000000000"
"""The bench itself: the subject of settings and issued codes."""

DEVICE = re.compile(r"[A-Za-z0-9][A-Za-z0-9~._-]{0,63}")
FAR_MS = 1 << 47
MOST_OFFSET_MS = 50 * 366 * 86_400_000
Hlc = tuple[int, int, str]


@dataclass(frozen=True)
class Record:
    """One thing that happened, once, for good. `data` is the JSON of its kind's dataclass."""

    id: str
    v: int
    kind: str
    device: str
    seq: int
    hlc: Hlc
    at: str
    tz_min: int
    how: Literal["live", "late", "import"]
    subject: str
    data: Mapping[str, Any]
    offset_ms: int | None = None
    happened_at: str | None = None
    entered_on: str | None = None
    also: Mapping[str, str] = field(default_factory=dict)
    corrects: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    """The fields of `data` that were offered and taken over unread: no calculation takes them for measured."""

    @property
    def order(self) -> tuple[Hlc, str]:
        """Records stand in this order, never in the order of their ids."""
        return (self.hlc, self.id)

    @cached_property
    def when(self) -> datetime:
        """When it happened, in UTC: as entered when entered late, else the device's clock mended by its offset."""
        if self.happened_at is not None:
            return instant(self.happened_at, "happened_at")
        return instant(self.at) + timedelta(milliseconds=self.offset_ms or 0)

    @property
    def local(self) -> datetime:
        """When it happened, in the record's own zone."""
        return self.when.astimezone(timezone(timedelta(minutes=self.tz_min)))

    @cached_property
    def body(self) -> Any:
        """The data as the frozen dataclass of its kind; None when this bench does not know the kind."""
        known = KINDS.get(self.kind)
        return schema.read(known.data, self.data) if known and self.v == known.version else None

    def read(self, name: str) -> Any:
        """A field of its data that somebody read or chose; None where it was offered and taken over unread."""
        return None if name in self.assumed else getattr(self.body, name)

    @property
    def content(self) -> tuple[Any, ...]:
        """What makes two records with one id the same record: everything but who counted it and when it was sent."""
        same = (self.kind, self.v, self.subject, self.how, self.happened_at, self.data, self.also, self.corrects)
        return (*same, self.assumed)

    def to_dict(self) -> dict[str, Any]:
        """The record as JSON, optional fields left out when they hold nothing."""
        raw: dict[str, Any] = {
            "id": self.id,
            "v": self.v,
            "kind": self.kind,
            "device": self.device,
            "seq": self.seq,
            "hlc": list(self.hlc),
            "at": self.at,
            "offset_ms": self.offset_ms,
            "tz_min": self.tz_min,
            "how": self.how,
            "subject": self.subject,
        }
        optional = {
            "happened_at": self.happened_at,
            "entered_on": self.entered_on,
            "also": dict(self.also),
            "corrects": list(self.corrects),
            "assumed": list(self.assumed),
        }
        return raw | {k: v for k, v in optional.items() if v} | {"data": dict(self.data)}

    @classmethod
    def from_dict(cls, raw: object) -> "Record":
        """A checked record; Refusal, naming the field, when it is malformed.

        A kind or version that this bench does not know is kept as it is, so that a newer bench's records survive here.
        """
        envelope: Envelope = schema.read(Envelope, raw, "record")
        _check(envelope)
        known = KINDS.get(envelope.kind)
        if not isinstance(envelope.data, Mapping):
            raise Refusal(_("The data of a record is an object."), "data")
        if known and envelope.v == known.version:
            schema.read(known.data, envelope.data)
        else:
            schema.plain(envelope.data, "data")
        return cls.trusted(cast(Mapping[str, Any], raw))

    @classmethod
    def trusted(cls, raw: Mapping[str, Any]) -> "Record":
        """A record from JSON that was checked before it was written, without checking it again."""
        hlc = raw["hlc"]
        made = cls.__new__(cls)  # a million of these are made on opening: past the frozen class's own way of setting
        vars(made).update(
            id=raw["id"],
            v=raw["v"],
            kind=raw["kind"],
            device=raw["device"],
            seq=raw["seq"],
            hlc=(hlc[0], hlc[1], hlc[2]),
            at=raw["at"],
            tz_min=raw["tz_min"],
            how=raw["how"],
            subject=raw["subject"],
            data=raw["data"],
            offset_ms=raw.get("offset_ms"),
            happened_at=raw.get("happened_at"),
            entered_on=raw.get("entered_on"),
            also=raw.get("also") or {},
            corrects=tuple(raw.get("corrects") or ()),
            assumed=tuple(raw.get("assumed") or ()),
        )
        return made


@dataclass(frozen=True)
class Envelope:
    """The schema of the envelope, for reading it strictly."""

    id: schema.Ulid
    v: int
    kind: str
    device: str
    seq: int
    hlc: tuple[object, ...]
    at: str
    tz_min: int
    how: Literal["live", "late", "import"]
    subject: schema.Ulid
    data: object
    offset_ms: int | None = None
    happened_at: str | None = None
    entered_on: str | None = None
    also: dict[str, schema.Ulid] = field(default_factory=dict)
    corrects: tuple[schema.Ulid, ...] = ()
    assumed: tuple[str, ...] = ()


def _check(envelope: Envelope) -> None:
    if not _device(envelope.device):
        raise Refusal(_("A device's name has letters, figures, dots and dashes only."), "device")
    if not 1 <= envelope.seq < FAR_MS:
        raise Refusal(_("A device counts its records from 1."), "seq")
    if not 1 <= envelope.v < 1000 or not 1 <= len(envelope.kind) <= 64:
        raise Refusal(_("The kind or its version cannot be right."), "kind")
    if abs(envelope.tz_min) > 14 * 60:
        raise Refusal(_("A time zone is at most 14 hours from UTC."), "tz_min")
    if envelope.offset_ms is not None and abs(envelope.offset_ms) > MOST_OFFSET_MS:
        raise Refusal(_("That clock offset cannot be right."), "offset_ms")
    hlc = envelope.hlc
    if len(hlc) != 3 or not all(_count(n) for n in hlc[:2]) or not _device(hlc[2]):
        raise Refusal(_("The order mark should be [milliseconds, counter, device]."), "hlc")
    instant(envelope.at, "at")
    if envelope.happened_at is not None:
        instant(envelope.happened_at, "happened_at")
    if envelope.how == "late" and envelope.happened_at is None:
        raise Refusal(_("What is entered late needs the time when it happened."), "happened_at")
    if envelope.id in envelope.corrects:
        raise Refusal(_("A record cannot correct itself."), "corrects")
    if isinstance(envelope.data, Mapping) and not set(envelope.assumed) <= set(envelope.data):
        raise Refusal(_("Only fields of its data can be assumed."), "assumed")


def _device(name: object) -> bool:
    return isinstance(name, str) and DEVICE.fullmatch(name) is not None


def _count(n: object) -> bool:
    return isinstance(n, int) and not isinstance(n, bool) and 0 <= n < FAR_MS
