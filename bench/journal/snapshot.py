"""What the data file comes to, kept beside it so that opening need not read every record again.

`saggar.snapshot` says what it was made from: the check sum of each block of the data file up to a byte, and a digest of
the program's own rules. It is used only when all of that still holds, and when its own check sums do; at any doubt it
is as if it were not there. It holds nothing that the data file does not: it may be deleted at any time.
"""

import hashlib
from collections.abc import Mapping
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Any, BinaryIO
from zlib import crc32

import numpy as np
import orjson

import bench.records
from bench.journal.rights import private
from bench.journal.scanning import block_sums

SNAPSHOT = "saggar.snapshot"
MAGIC = b"saggar snapshot 1\n"


PROGRAM = Path(bench.records.__file__ or "").parents[1]
ROOMS = ("science", "reference", "reckoning", "steps", "records", "workshop", "journal")
"""Every room whose text or tables decide what records come to: a kept value of any of them is as old as its digest."""


@cache
def rules_digest() -> str | None:
    """A digest of the program that folds records and works values out of them; None where it cannot be read."""
    return digest_of(PROGRAM)


def digest_of(program: Path) -> str | None:
    """The digest of the rooms in a folder, their tables among them."""
    digest = hashlib.blake2b(np.__version__.encode(), digest_size=16)
    for room in ROOMS:
        for path in sorted((program / room).rglob("*")):
            if not path.is_file() or "__pycache__" in path.parts:
                continue
            try:
                text = path.read_bytes()
            except OSError:
                return None
            digest.update(b"%s %d\n" % (path.relative_to(program).as_posix().encode(), len(text)) + text)
    return digest.hexdigest()


def save(
    path: Path, data: Path, end: int, arrays: Mapping[str, Any], plain: Mapping[str, Any], sums: list[int]
) -> list[int] | None:
    """Keeps arrays and plain values for the first `end` bytes of the file `data`, and gives the sums of its blocks.

    None when it cannot be kept. `sums` are those of whole blocks that are known already. It is not synced: a torn
    snapshot is told by its own sums.
    """
    rules = rules_digest()
    if rules is None:
        return None
    beside = path.with_name(path.name + ".new")
    try:
        with data.open("rb") as file:
            sums = [*sums, *block_sums(file, len(sums), end)]
        parts: dict[str, Any] = {name: np.ascontiguousarray(value) for name, value in arrays.items()}
        text = orjson.dumps(plain)
        about = [[name, part.dtype.str, len(part), crc32(part.view(np.uint8))] for name, part in parts.items()]
        head = {"rules": rules, "end": end, "sums": sums, "arrays": about, "plain": [len(text), crc32(text)]}
        head["highs"] = plain.get("highs", {})
        front = orjson.dumps(head)
        with open(beside, "wb", opener=private) as file:
            file.write(MAGIC + b"%08x %d\n" % (crc32(front), len(front)) + front)
            for part in parts.values():
                file.write(part.view(np.uint8))
            file.write(text)
        beside.replace(path)
    except (OSError, TypeError, ValueError):
        with suppress(OSError):
            beside.unlink(missing_ok=True)
        return None
    return sums


def load(path: Path, data: Path) -> tuple[dict[str, Any], dict[str, Any], int, list[int]] | None:
    """The arrays, the plain values, the byte up to which they hold, and its block sums; None at any doubt."""
    try:
        with path.open("rb") as file:
            head = _head(file)
            if head is None or head["rules"] != rules_digest() or not _holds(data, head["end"], head["sums"]):
                return None
            arrays: dict[str, Any] = {}
            for name, kind, count, total in head["arrays"]:
                found: Any = np.fromfile(file, kind, count)
                if len(found) != count or crc32(found.view(np.uint8)) != total:
                    return None
                arrays[name] = found
            text = file.read()
        if [len(text), crc32(text)] != head["plain"]:
            return None
        return arrays, orjson.loads(text), head["end"], head["sums"]
    except (OSError, ValueError, KeyError, TypeError, MemoryError):
        return None


def highs_beside(path: Path) -> dict[str, int]:
    """How far each device had counted when a snapshot was made, whatever the data file holds now; none at any doubt."""
    try:
        with path.open("rb") as file:
            return {str(name): int(number) for name, number in (_head(file) or {}).get("highs", {}).items()}
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return {}


def _head(file: BinaryIO) -> dict[str, Any] | None:
    if file.read(len(MAGIC)) != MAGIC:
        return None
    sum_text, length = file.readline(40).split()
    front = file.read(int(length))
    if crc32(front) != int(sum_text, 16):
        return None
    head: dict[str, Any] = orjson.loads(front)
    return head


def _holds(data: Path, end: int, sums: list[int]) -> bool:
    with data.open("rb") as file:
        return all(a == b for a, b in zip(sums, block_sums(file, 0, end), strict=True))
