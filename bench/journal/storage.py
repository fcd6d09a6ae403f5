"""The storage of the one append-only file: it keeps lines, and only ever appends.

Threads that wait for the disk share one sync (group commit): the first to wait leads, writes everything that is queued
in one go, and lets the others go on when it is on the disk. Nothing is visible to a reader before that.
"""

import os
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from threading import RLock
from typing import Any, NamedTuple, NoReturn

from tinydb.storages import Storage

from bench.journal.disk import REAL, Disk, Reader
from bench.journal.footing import Footing
from bench.journal.gate import Batch, Gate
from bench.journal.kept_lines import Lines
from bench.journal.lines import TABLE, TAIL, body_of
from bench.journal.opening import mark_unsynced, open_file
from bench.journal.places import Layers, Places
from bench.journal.scanning import Counts, Heard, unheard
from bench.journal.trouble import AppendOnly, NotKept
from bench.translation import _

SAFE = _("Everything before it is safe.")
PIECE = 1 << 20
REOPEN = _("Close the bench and open it again. Until then nothing more is saved.")


class Entry(NamedTuple):
    """One record on its way to the disk: its key, its line, and whatever its owner wants back when it is there."""

    key: str
    line: bytes
    owner: Any = None


class AppendStorage(Storage):
    """The data file, open for appending by this process alone (the caller holds the folder's lock).

    Its owner may hang two calls on it: `landed` is called with the entries of a commit when they are on the disk,
    `failed` when a commit was not kept and everything queued behind it was dropped too; both while `pen` is held.
    """

    def __init__(
        self,
        path: str | os.PathLike[str],
        disk: Disk = REAL,
        aside: Path | None = None,
        stamp: str = "found",
        before: Layers | None = None,
        counts: Counts | None = None,
        expected: Callable[[], Mapping[str, int]] = dict,
        heard: Heard = unheard,
    ) -> None:
        self.path = Path(path)
        self.pen = RLock()
        self._disk = disk
        self.landed: Callable[[list[Entry]], None] = lambda entries: None
        self.failed: Callable[[], None] = lambda: None
        self.queued: Callable[[list[Entry], int], None] = lambda entries, spot: None
        self._ahead = 0  # how many entries are on their way to the disk
        aside = aside or self.path.parent / "backups"
        opened = open_file(self.path, aside, stamp, before, counts, expected, heard)
        self.counts, self.report, self.lossy = opened.counts, opened.report, opened.lossy
        self.as_known, self.new = opened.as_known, opened.new
        self._reader = Reader(self.path)
        self.lines = Lines(Places(opened.layers), self._reader)
        self._fd: int | None = os.open(self.path, os.O_RDWR | getattr(os, "O_BINARY", 0))
        self._sync_found(self._fd)
        self.end = os.fstat(self._fd).st_size - len(TAIL)
        self._footing = Footing(self.path, aside, stamp)
        self._queued: set[str] = set()
        self.broken: str | None = None
        self._gate: Gate[Entry] = Gate(self.pen, self._write, self._keep, self._drop)

    # What TinyDB asks of a storage ------------------------------------------------------------------------------

    def read(self) -> dict[str, Any]:
        return {TABLE: self.lines}

    def write(self, data: dict[str, dict[str, Any]]) -> NoReturn:
        raise AppendOnly("records are only ever appended")

    def close(self) -> None:
        with self._gate.quiet():
            if self._fd is not None:
                if not self.broken:
                    self._look(self._fd)
                os.close(self._fd)
                self._fd = None
                self._reader.close()

    # Appending --------------------------------------------------------------------------------------------------

    @property
    def commits(self) -> int:
        """How many times the disk was asked to keep what was written."""
        return self._gate.commits

    def queue(self, entries: list[Entry]) -> Batch[Entry]:
        """Puts entries into the next commit; hold `pen`, then `wait` without it. ValueError for a key that is taken."""
        keys = {entry.key for entry in entries}
        if len(keys) < len(entries) or any(self.has(key) for key in keys):
            raise ValueError("a key stands in the file once")
        self._queued |= keys
        spot, self._ahead = len(self.lines) + self._ahead, self._ahead + len(entries)
        if entries:
            self.queued(entries, spot)  # where they will stand: what fails takes all behind it along
        return self._gate.queue(entries)

    def newest(self) -> Batch[Entry] | None:
        """What is on its way to the disk, up to the newest of it. Call it with `pen` held."""
        return self._gate.newest()

    @property
    def clear(self) -> bool:
        return self._gate.clear

    @property
    def failures(self) -> int:
        """How many times what was on its way was dropped."""
        return self._gate.failures

    def has(self, key: str) -> bool:
        """Whether a key is in the file or on its way there. Call it with `pen` held."""
        return key in self.lines or key in self._queued

    def wait(self, batch: Batch[Entry]) -> None:
        """Returns when a batch is on the disk. NotKept when the disk refused; nothing of it is then visible."""
        self._gate.wait(batch)

    def _keep(self, entries: list[Entry]) -> None:
        at = self.end - sum(len(entry.line) + 2 for entry in entries) + 1  # the newline stands before `end`
        for entry in entries:
            self.lines.places.add(entry.key, at, at + len(entry.line))
            self.counts.take(entry.line)
            at += len(entry.line) + 2
        self._queued.difference_update(entry.key for entry in entries)
        self._ahead -= len(entries)
        self.landed(entries)

    def _drop(self) -> None:
        self._ahead = 0
        self._queued.clear()  # what queued behind a failed write is dropped with it
        self.failed()

    def _write(self, entries: list[Entry]) -> None:
        if self._fd is None or self.broken:
            raise NotKept(
                _("Not saved: {broken}. {reopen}", broken=self.broken or _("the data file is closed"), reopen=REOPEN)
            )
        if not self._look(self._fd):
            raise NotKept(_("Not saved: {broken}. {reopen}", broken=self.broken, reopen=REOPEN))
        body = body_of((entry.line for entry in entries), first=not self.lines)
        try:
            self._put(self._fd, body + TAIL, self.end)
        except BaseException as error:
            self._restore(self._fd)
            if not isinstance(error, OSError):
                raise
            raise NotKept(
                _("Not saved: the disk refused the write ({strerror}). {safe}", strerror=error.strerror, safe=SAFE)
            ) from error
        try:
            self._disk.sync(self._fd)
        except BaseException as error:
            # What the system dropped cannot be told, and a second try may report success without having written it.
            self.broken = getattr(error, "strerror", None) or _("a write was interrupted")
            mark_unsynced(self.path)
            raise NotKept(
                _(
                    "Not saved: the disk did not confirm the write ({broken}). {reopen}",
                    broken=self.broken,
                    reopen=REOPEN,
                )
            ) from error
        seam = self.end
        self.end += len(body)
        self._footing.added([entry.line for entry in entries])
        if not self._look(self._fd, seam):
            raise NotKept(_("Not saved: {broken}. {reopen}", broken=self.broken, reopen=REOPEN))

    def _look(self, fd: int, seam: int | None = None) -> bool:
        """Whether the open file is still the file of its name. Where it is not, what it holds is kept aside."""
        seam = self.end if seam is None else seam
        what = self._footing.lost(fd, self.end, self._reader.read(seam - 1, seam))
        if what is not None:
            self.broken = self._footing.sentence(what, self._footing.keep_aside(fd))
        return what is None

    def _sync_found(self, fd: int) -> None:
        try:
            self._disk.sync_found(fd)
        except OSError:
            os.close(fd)
            self._reader.close()
            mark_unsynced(self.path)
            raise

    def _put(self, fd: int, data: bytes, at: int) -> None:
        while data:
            count = self._disk.put(fd, data, at)
            data, at = data[count:], at + count

    def _restore(self, fd: int) -> None:
        # A full disk: put the old end back, so that the file stays valid and the next try starts from there.
        try:
            self._put(fd, TAIL, self.end)
            self._disk.cut(fd, self.end + len(TAIL))
            self._disk.sync(fd)
        except OSError as error:
            self.broken = error.strerror or _("the disk is not usable")  # opening again repairs it

    def copy(self) -> Iterator[bytes]:
        """The file as of the last commit, byte for byte, in pieces."""
        with self.pen:
            end = self.end
        with self.path.open("rb") as file:
            while end > 0 and (piece := file.read(min(PIECE, end))):
                end -= len(piece)
                yield piece
        yield TAIL
