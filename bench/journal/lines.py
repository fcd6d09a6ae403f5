"""The data file, byte by byte: one record a line, and valid JSON as a whole.

    {"records":{
    "01J…A":{"device":"laptop","seq":1,…,"crc":"9f00aa12"}
    ,"01J…B":{"device":"phone-kiln","seq":7,…,"crc":"03bd11c4"}
    }}

The comma stands at the start of the next line, so the newline that ends a record is never written again and a torn
sector cannot reach a confirmed record. The check sum is CRC-32 (the one of ISO 3309 and zip) over all bytes of the line
before it, key and content, without the comma.

A key is the record's id. Where two different records claim one id, the second is kept under `id~digest`.
"""

import hashlib
import math
import re
from collections.abc import Iterable, Mapping
from typing import Any
from zlib import crc32

import orjson

from bench.translation import _

TABLE = "records"
HEAD, TAIL = b'{"records":{\n', b"}}\n"
KEY = re.compile(r"[0-9A-Za-z._~-]{1,64}")
MARK_LENGTH = len(b',"crc":"00000000"}')
TWIN = "~"


LAYOUT = 1
NEWER = re.compile(rb'\s*\{\s*"saggar"\s*:\s*(\d{1,6})\b')
"""How a file of another layout begins, should there ever be one: `{"saggar":2,…`. This layout names no number."""


def newer_layout(raw: bytes) -> str | None:
    """A sentence where a file is of a layout that this program does not know; it must then be left alone."""
    found = NEWER.match(raw[:64].removeprefix(b"\xef\xbb\xbf"))
    if found is None or int(found[1]) <= LAYOUT:
        return None
    return _(
        "was written by a newer Saggar (layout {found}; this one knows {layout}). Update Saggar, "
        "then open it again. Nothing was changed.",
        found=int(found[1]),
        layout=LAYOUT,
    )


class BadLine(ValueError):
    """A line that is not as this program wrote it: torn, filled with zeros, or altered."""


def seal(start: bytes) -> bytes:
    """The end of a line whose first bytes are `start`: the check sum over them, and the closing brace."""
    return b',"crc":"%08x"}' % crc32(start)


def encode(key: str, doc: Mapping[str, Any]) -> bytes:
    """The line of a record, without comma and newline.

    ValueError or TypeError for what the file cannot hold: a bad key, an empty record, a field named `crc`, a number
    that is not finite or has more than 64 bits, broken text, or anything that is not plain JSON.
    """
    if not KEY.fullmatch(key):
        raise ValueError(f"a record's key has letters, figures and . _ ~ - only: {key!r}")
    if not doc or "crc" in doc:
        raise ValueError("a record has content, and leaves the field crc to the file")
    _only_numbers(doc)
    start = b'"%s":%s' % (key.encode(), orjson.dumps(doc)[:-1])
    return start + seal(start)


def _only_numbers(value: Any) -> None:
    # The JSON writer would turn infinities into null without a word.
    if isinstance(value, float):
        if not math.isfinite(value):
            raise ValueError("a number in a record is finite")
    elif isinstance(value, Mapping):
        for inner in value.values():
            _only_numbers(inner)
    elif isinstance(value, list | tuple):
        for inner in value:
            _only_numbers(inner)


def is_sound(line: bytes) -> bool:
    """Whether a line without its comma is exactly as it was written."""
    return line[-MARK_LENGTH:] == seal(line[:-MARK_LENGTH]) and line[:1] == b'"'


def key_of(line: bytes) -> str:
    """The key of a sound line."""
    return line[1 : line.index(b'"', 1)].decode()


def doc_of(line: bytes) -> dict[str, Any]:
    """The content of a sound line, without its check sum."""
    doc: dict[str, Any] = orjson.loads(line[line.index(b":") + 1 :])
    doc.pop("crc", None)
    return doc


def decode(line: bytes) -> tuple[str, dict[str, Any]]:
    """Key and content of a line; BadLine when it is not as it was written."""
    if not is_sound(line):
        raise BadLine("the check sum of this line does not fit")
    try:
        return key_of(line), doc_of(line)
    except ValueError:
        raise BadLine("this line is not JSON") from None


def body_of(lines: Iterable[bytes], first: bool) -> bytes:
    """The bytes that append `lines` to a file; `first` when there is no record in it yet."""
    joined = b"\n,".join(lines)
    return (b"" if first else b",") + joined + b"\n" if joined else b""


def render(lines: Iterable[bytes]) -> bytes:
    """A whole file with these lines."""
    return HEAD + body_of(lines, first=True) + TAIL


def record_id(key: str) -> str:
    """The id that the record under `key` claims."""
    return key.partition(TWIN)[0]


def twin_key(identity: str, doc: Mapping[str, Any]) -> str:
    """The key under which a second, different record that claims `identity` is kept.

    It follows from the content alone, so two files that meet the same pair keep it in the same way.
    """
    text = orjson.dumps(dict(doc), option=orjson.OPT_SORT_KEYS)
    return identity + TWIN + hashlib.blake2b(text, digest_size=6).hexdigest()
