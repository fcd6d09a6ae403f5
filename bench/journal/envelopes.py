"""Between what a form or another device says and what a line of the file holds."""

import re
import secrets
from collections.abc import Mapping
from typing import Any, NamedTuple, Protocol

import orjson
from ulid import ULID

from bench.journal.lines import doc_of, encode, record_id
from bench.journal.receipts import Draft, Receipt
from bench.journal.upgrade import upgraded
from bench.records.kinds import KINDS
from bench.records.moments import utc_text
from bench.records.record import Record
from bench.science.refusal import Refusal
from bench.translation import _

# The front of every line that this program writes. One that stands otherwise is read as a whole.
FRONT = re.compile(rb'"[^"]+":\{"v":\d+,"kind":"[^"\\]*","device":"([^"\\]*)","seq":(\d+),"hlc":\[(\d+),(\d+),')
CANNOT_BE_KEPT = _("Part of this cannot be saved: type it again.")


class Timekeeper(Protocol):
    """Who tells the time: milliseconds since 1970 in UTC, and the zone's minutes."""

    def now_ms(self) -> int: ...

    def zone_min(self) -> int: ...


class Parcel(NamedTuple):
    """A record as today's bench reads it, and the content that its line holds, which may be of an older version."""

    record: Record
    doc: dict[str, Any]


def new_id(now_ms: int) -> str:
    """A fresh ULID for a moment in milliseconds since 1970."""
    return str(ULID.from_int((now_ms << 80) | secrets.randbits(80)))


def parcel(record: Record) -> Parcel:
    """A record of today's version, ready for the file."""
    doc = record.to_dict()
    del doc["id"]
    return Parcel(record, doc)


def drafted(draft: Draft, identity: str, clock: Timekeeper) -> Record:
    """A checked record of what a form says; its number and order mark are stand-ins. Refusal when it is malformed."""
    known = KINDS.get(draft.kind) if isinstance(draft.kind, str) else None
    if known is None:
        raise Refusal(_("There is no kind of record called “{kind}”.", kind=str(draft.kind)[:40]), "kind")
    raw: dict[str, Any] = {
        "id": identity,
        "v": known.version,
        "kind": draft.kind,
        "device": "draft",
        "seq": 1,
        "hlc": [1, 0, "draft"],
        "at": utc_text(clock.now_ms()),
        "offset_ms": 0,
        "tz_min": clock.zone_min(),
        "how": draft.how,
        "subject": draft.subject or identity,
        "data": draft.data,
        "happened_at": draft.happened_at,
        "entered_on": draft.entered_on,
        "also": dict(draft.also or {}),
        "corrects": list(draft.corrects),
        "assumed": list(draft.assumed),
    }
    Record.from_dict(raw)
    try:
        record = Record.trusted(orjson.loads(orjson.dumps(raw)))  # just as the disk will give it back
        encode(identity, parcel(record).doc)
    except (ValueError, TypeError):
        raise Refusal(CANNOT_BE_KEPT, "data") from None
    return record


def accepted(raw: object) -> Parcel | Receipt:
    """An envelope from elsewhere, checked; or the receipt that refuses it with a sentence."""
    identity = raw.get("id") if isinstance(raw, Mapping) else None
    try:
        # The shape that it reads as today is what is checked; what came is what is kept.
        today = Record.from_dict(_today(raw))
        assert isinstance(raw, Mapping)
        sent = parcel(Record.trusted(orjson.loads(orjson.dumps(dict(raw)))))
        encode(today.id, sent.doc)
    except Refusal as refusal:
        return Receipt(identity if isinstance(identity, str) else None, "refused", refusal.say, refusal.field)
    except (ValueError, TypeError):
        return Receipt(identity if isinstance(identity, str) else None, "refused", CANNOT_BE_KEPT, "data")
    return Parcel(sent.record if today.v == sent.record.v else today, sent.doc)


def read_line(key: str, line: bytes) -> Record:
    """The record of a sound line, as today's bench reads it. ValueError when it is no record."""
    try:
        doc = doc_of(line)
        doc["id"] = record_id(key)
        return Record.trusted(upgraded(doc))
    except (KeyError, TypeError, IndexError, AttributeError) as error:
        raise ValueError("this line holds no record") from error


def _today(raw: object) -> object:
    if isinstance(raw, Mapping) and isinstance(raw.get("kind"), str) and isinstance(raw.get("v"), int):
        try:
            return upgraded(raw)
        except (KeyError, TypeError, ValueError, AttributeError):
            raise Refusal(_("An older version wrote this, and it cannot be read now."), "data") from None
    return raw
