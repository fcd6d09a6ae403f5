"""The ways of keeping a record that are compared: each seeded with the same records, each appending the same ones."""

import os
import sqlite3
from pathlib import Path
from typing import Any, Protocol

import orjson
from tinydb import TinyDB
from tinydb.table import Document

from bench import clock
from bench.journal import FILE, Journal
from bench.journal.disk import full_sync
from bench.journal.lines import HEAD, TAIL, body_of, encode
from bench.journal.table import RecordBase
from tests.measure.bulk import record, records


class Rival(Protocol):
    """Something that keeps records. `append` returns when the record is as safe as this way of keeping makes it."""

    name: str

    def append(self) -> None: ...

    def close(self) -> None: ...


def as_document(identity: str, doc: dict[str, Any]) -> Document:
    """What TinyDB's `insert` takes for a record with an id of its own."""
    return Document(doc, doc_id=identity)  # type: ignore[arg-type]  # ids are text here; TinyDB's hints know numbers only


class Numbered:
    """Gives out the records that come after the seed."""

    def __init__(self, size: int) -> None:
        self._next = size

    def next(self) -> tuple[str, dict[str, Any]]:
        self._next += 1
        return record(self._next)


class Ours:
    """The bench's own file, through TinyDB's `insert`."""

    name = "ours"

    def __init__(self, folder: Path, size: int) -> None:
        seed_ours(folder, size)
        self._base, self._numbers = RecordBase(folder / FILE), Numbered(size)

    def append(self) -> None:
        self._base.insert(as_document(*self._numbers.next()))

    def close(self) -> None:
        self._base.close()


class OursWhole:
    """The journal's `write`: checked, numbered, stamped, kept and folded."""

    name = "journal"

    def __init__(self, folder: Path, size: int) -> None:
        seed_ours(folder, size)
        self._journal = Journal.open(folder, clock=clock)
        self._subject = self._journal.new_id()
        assert len(self._journal.state.records) == size

    def append(self) -> None:
        self._journal.write("jar.assayed", self._subject, {"before_g": 12.0, "after_g": 11.0, "at_c": 110.0})
        with self._journal.reading():
            pass

    def close(self) -> None:
        self._journal.close()


class Sqlite:
    """SQLite in its safest mode: WAL with synchronous=FULL, one transaction a record."""

    name = "SQLite"

    def __init__(self, folder: Path, size: int) -> None:
        self._base, self._numbers = sqlite3.connect(folder / "rival.db", isolation_level=None), Numbered(size)
        self._base.execute("PRAGMA journal_mode=WAL")
        self._base.execute("PRAGMA synchronous=FULL")
        self._base.execute("CREATE TABLE records (id TEXT PRIMARY KEY, body TEXT NOT NULL)")
        self._base.execute("BEGIN")
        self._base.executemany(
            "INSERT INTO records VALUES (?, ?)", ((i, orjson.dumps(doc)) for i, doc in records(size))
        )
        self._base.execute("COMMIT")
        self._base.execute("PRAGMA wal_checkpoint(TRUNCATE)")

    def append(self) -> None:
        identity, doc = self._numbers.next()
        self._base.execute("INSERT INTO records VALUES (?, ?)", (identity, orjson.dumps(doc)))

    def close(self) -> None:
        self._base.close()


class Stock:
    """TinyDB as it comes, which writes its whole file anew and does not ask the disk to keep it."""

    name = "stock TinyDB"

    def __init__(self, folder: Path, size: int) -> None:
        path = folder / "stock.db"
        path.write_bytes(orjson.dumps({"_default": {str(n + 1): record(n)[1] for n in range(size)}}))
        self._base, self._numbers = TinyDB(path), Numbered(size)
        self._base._next_id = None

    def append(self) -> None:
        self._base.insert(self._numbers.next()[1])

    def close(self) -> None:
        self._base.close()


class Raw:
    """The least that any of them can do: write the line at the end and wait for the disk."""

    name = "write and sync"

    def __init__(self, folder: Path, size: int) -> None:
        path = folder / "raw.lines"
        with path.open("wb") as file:
            file.writelines(encode(*told) + b"\n" for told in records(size))
        self._fd, self._numbers = os.open(path, os.O_WRONLY | os.O_APPEND), Numbered(size)

    def append(self) -> None:
        os.write(self._fd, encode(*self._numbers.next()) + b"\n")
        full_sync(self._fd)

    def close(self) -> None:
        os.close(self._fd)


def seed_ours(folder: Path, size: int) -> None:
    """A data file with `size` records, and the note that they are this folder's own."""
    folder.mkdir(parents=True, exist_ok=True)
    with (folder / FILE).open("wb") as file:
        file.write(HEAD)
        for n, told in enumerate(records(size)):
            file.write(body_of([encode(*told)], first=n == 0))
        file.write(TAIL)
    (folder / "keys").mkdir(exist_ok=True)
    (folder / "keys" / "device.txt").write_text(f"laptop\n{size}\n", "utf-8")
