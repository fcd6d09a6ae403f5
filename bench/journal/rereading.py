"""Records in text that another program wrote: read as JSON, and sealed again where their own check sum still fits.

An editor, a formatter or a repair tool changes the lines of a file, but not what its records say. Such a tool may have
sorted the fields; content alone makes a record, so the orders that this bench writes are tried until the sum fits.
"""

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import islice, permutations
from typing import Any

from bench.journal.envelopes import Parcel, accepted
from bench.journal.lines import KEY, TABLE, encode, record_id

OBJECT = re.compile(r'"([0-9A-Za-z._~-]{1,64})"\s*:\s*\{')
FRAME = re.compile(r'[\s{}\[\],:\x00]*+(?:"records"\s*:)?[\s{}\[\],:\x00]*+')
"""What stands between records. It gives nothing back: a megabyte of zeros before anything else is read once."""
FIRST = ("v", "kind", "device", "seq", "hlc", "at", "offset_ms", "tz_min", "how", "subject")
LAST = ("happened_at", "entered_on", "also", "corrects", "data")
MOST_ORDERS, MOST_SEARCHES = 720, 20
OURS = {"kind", "device", "seq", "data"}
MOST_BRACES = 16  # among so many letters no record opens more
WINDOWS = (4_096, 65_536, 1_048_576)
READER = json.JSONDecoder()


@dataclass
class Reread:
    """What a stretch of text holds: whole lines, records whose sum does not fit, and the text between them."""

    lines: list[bytes] = field(default_factory=list)
    doubtful: dict[str, dict[str, Any]] = field(default_factory=dict)
    altered: list[str] = field(default_factory=list)  # the keys of what reads, but is no record any more
    rest: str = ""


class Rereader:
    """Reads stretches of one file; what it learns of the order of fields in one record serves for the next."""

    def __init__(self) -> None:
        self._orders: dict[tuple[Any, ...], tuple[str, ...]] = {}
        self._searches = MOST_SEARCHES

    def read(self, raw: bytes) -> Reread:
        """Every record in `raw` that can be read as JSON. Never raises."""
        text, found, at, between = raw.decode("utf-8", "replace"), Reread(), 0, list[str]()
        for key, doc, start, stop in _objects(text):
            line = self._sealed(key, doc)
            if line is not None:
                found.lines.append(line)
            elif isinstance(accepted({**doc, "id": record_id(key)}), Parcel):
                found.doubtful[key] = doc
            else:
                found.altered.append(key)
            between.append(text[at:start])
            at = stop
        found.rest = "".join(piece for piece in (*between, text[at:]) if not FRAME.fullmatch(piece))
        return found

    def _sealed(self, key: str, doc: dict[str, Any]) -> bytes | None:
        """The line of a record whose sum fits in one of the orders tried; takes the sum out of `doc`."""
        crc = doc.pop("crc", None)
        if not KEY.fullmatch(key):
            return None
        for one in self._arranged(doc):
            try:
                line = encode(key, one)
            except (ValueError, TypeError):
                return None
            if line[-10:-2].decode() == crc:
                self._orders[_shape(one)] = tuple(one.get("data") or ())
                self._searches = MOST_SEARCHES
                return line
        self._searches -= 1  # where nothing fits time after time, the records were altered and not sorted
        return None

    def _arranged(self, doc: dict[str, Any]) -> Iterator[dict[str, Any]]:
        yield doc
        data = doc.get("data")
        top = {name: doc[name] for name in (*FIRST, *LAST, *doc) if name in doc}
        if not isinstance(data, dict):
            return
        known = self._orders.get(_shape(doc))
        most = MOST_ORDERS if self._searches > 0 else 1
        for order in ([known] if known else []) + list(islice(permutations(data), most)):
            yield {**top, "data": {name: data[name] for name in order}}


def _shape(doc: dict[str, Any]) -> tuple[Any, ...]:
    return (doc.get("kind"), *sorted(doc.get("data") or ()))


def _objects(text: str) -> Iterator[tuple[str, dict[str, Any], int, int]]:
    """Each object that looks like a record: its key, its content, and where key and object begin and end."""
    at = 0
    while hit := OBJECT.search(text, at):
        at = hit.end()
        found = None if hit[1] == TABLE else _decoded(text, hit.end() - 1)
        if found is not None and ("crc" in found[0] or found[0].keys() >= OURS):
            yield hit[1], found[0], hit.start(), found[1]
            at = found[1]


def _decoded(text: str, start: int) -> tuple[dict[str, Any], int] | None:
    """The object at a place and where it ends; None where none can be read. It looks no further than it must.

    The decoder counts the lines before an error, so it is never shown what lies far before or behind.
    """
    for length in WINDOWS:
        window = text[start : start + length]
        if not any(word in window for word in ('"crc"', '"seq"')) or window[:256].count("{") > MOST_BRACES:
            return None
        try:
            doc, stop = READER.raw_decode(window)
        except json.JSONDecodeError as error:
            cut = error.pos >= len(window) - 20 or error.msg.startswith("Unterminated")
            if cut and start + length < len(text):
                continue
            return None
        except (ValueError, RecursionError):
            return None
        return (doc, start + stop) if isinstance(doc, dict) else None
    return None
