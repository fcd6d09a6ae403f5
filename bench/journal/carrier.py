"""What carries records and photos between benches, and how two ends find out cheaply what each of them lacks.

A record's *name* follows from all that it says. Names are told apart by *runs*: 512 numbers of one device. An *outline*
has one fingerprint a run, so where two outlines are equal nothing else is asked; else only the names of those runs are.
"""

import hashlib
from collections.abc import Collection, Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any, NamedTuple, Protocol

import orjson

from bench.journal.lines import doc_of, encode, key_of, record_id

Name = bytes
"""What a record is called wherever it lies: it follows from all that it says, not from the form of its line."""
Run = tuple[str, int]
Outline = Mapping[Run, bytes]
RUN, NAME_BYTES, LONGEST = 512, 16, 64


class Standing(NamedTuple):
    """How far a place has been read: which life of it, and the last position. Another life may count anew."""

    life: str
    position: int


class Carrier(Protocol):
    """A place between benches. It holds a set of records and one of photos, which only grow."""

    def outline(self) -> Outline:
        """A fingerprint for each run of the records that lie there."""

    def names(self, runs: Collection[Run]) -> set[Name]:
        """The records of these runs that lie there."""

    def take(self, names: Collection[Name]) -> Iterator[tuple[Name, bytes]]:
        """These records with their lines; what has gone meanwhile is left out, and what is no record has no line."""

    def give(self, lines: list[bytes]) -> int:
        """Puts lines there, lasting when it returns, and tells how many were new there. OSError when it cannot."""

    def photos(self) -> set[str]:
        """The SHA-256 of the photos that lie there."""

    def take_photo(self, sha256: str, to: Path) -> Path | None:
        """Copies a photo to `to` with its own ending; None where it is not as its name says."""

    def give_photo(self, sha256: str, photo: Path) -> None:
        """Puts a photo there. OSError when it cannot."""


class Counting(Carrier, Protocol):
    """A carrier that numbers what it is given, without gaps and in the order in which it can be read."""

    def standing(self) -> Standing:
        """Its life and its last position, now."""

    def since(self, after: int, upto: int) -> Iterator[tuple[Name, bytes]]:
        """The records behind a position, up to another one."""


class Told(NamedTuple):
    """What a line says: its body, from which its name follows, and the device and number that it names."""

    body: bytes
    head: tuple[str, int]

    @property
    def name(self) -> Name:
        """The record's name."""
        return name_of_body(self.body)


def told_by(line: bytes) -> Told:
    """What a sound line says, in the one form that names are made of. ValueError or TypeError where it is no object."""
    doc = doc_of(line)
    return Told(orjson.dumps({**doc, "id": record_id(key_of(line))}, option=orjson.OPT_SORT_KEYS), _head(doc))


def line_of(body: bytes) -> bytes:
    """The line of a body. ValueError where it holds no record."""
    doc = orjson.loads(body)
    if not isinstance(doc, dict):
        raise ValueError("a record is an object")
    try:
        return encode(str(doc.pop("id")), doc)
    except (KeyError, TypeError) as error:
        raise ValueError("this is no record") from error


def line_or_nothing(body: bytes) -> bytes:
    """As `line_of`; nothing where a body holds no record, so that it is never taken for one."""
    try:
        return line_of(body)
    except ValueError:
        return b""


def name_of_body(body: bytes) -> Name:
    """The name of a body."""
    return hashlib.sha256(body).digest()[:NAME_BYTES]


def name_of(line: bytes) -> Name:
    """The name of the record in a sound line."""
    return told_by(line).name


def head_of(line: bytes) -> tuple[str, int]:
    """The device and the number that a line names; no device and 0 where it names none that can be told."""
    return _head(doc_of(line))


def _head(doc: Mapping[str, Any]) -> tuple[str, int]:
    device, seq = doc.get("device"), doc.get("seq")
    if not isinstance(device, str) or len(device) > LONGEST or "\0" in device:
        return "", 0
    return (device, seq) if isinstance(seq, int) and 0 <= seq < 1 << 62 else ("", 0)


def run_of(head: tuple[str, int]) -> Run:
    """The run that a device's number belongs to."""
    return head[0], head[1] // RUN


def fingerprint(names: Iterable[Name]) -> bytes:
    """The fingerprint of some records, in whatever order they come."""
    return hashlib.sha256(b"".join(sorted(names))).digest()[:NAME_BYTES]


class Index:
    """Names by their runs, with the fingerprint of each run worked out when it is asked for."""

    def __init__(self) -> None:
        self._runs: dict[Run, list[Name]] = {}
        self._prints: dict[Run, bytes] = {}

    def add(self, name: Name, run: Run) -> None:
        """Takes note of a name that was not here yet."""
        self._runs.setdefault(run, []).append(name)
        self._prints.pop(run, None)

    def outline(self) -> dict[Run, bytes]:
        """A fingerprint a run."""
        for run in self._runs.keys() - self._prints.keys():
            self._prints[run] = fingerprint(self._runs[run])
        return dict(self._prints)

    def names(self, runs: Iterable[Run]) -> set[Name]:
        """The names of some runs."""
        return {name for run in runs for name in self._runs.get(run, ())}
