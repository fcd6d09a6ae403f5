"""What each operating system must be asked for, so that a byte survives a pulled plug.

Promise: when `full_sync` returns, what was written through the descriptor is on the disk, as far as the disk tells the
truth. On macOS the plain call only reaches the drive's own cache, so the stronger one is asked for.
"""

import errno
import os
import sys
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from threading import Lock

from bench.journal.rights import private

UNKNOWN_REQUEST = frozenset({errno.ENOTSUP, errno.EOPNOTSUPP, errno.EINVAL, errno.ENOTTY})
"""What a volume answers that does not know the stronger request. Any other error is the disk's own."""


def strongest(fd: int, stronger: Callable[[int], object], plain: Callable[[int], None] = os.fsync) -> None:
    """The stronger request, or the plain one where the volume does not know it. OSError when the disk fails."""
    try:
        stronger(fd)
    except OSError as error:
        if error.errno not in UNKNOWN_REQUEST:
            raise
        plain(fd)


if sys.platform == "darwin":
    import fcntl

    def full_sync(fd: int) -> None:
        """Everything written through `fd` is on the disk when this returns."""
        strongest(fd, lambda fd: fcntl.fcntl(fd, fcntl.F_FULLFSYNC))

elif hasattr(os, "fdatasync"):
    # The data and the file's length, which is all that reading back needs; the time of change may follow later.
    full_sync: Callable[[int], None] = os.fdatasync
else:
    full_sync = os.fsync


def put(fd: int, data: bytes, at: int) -> int:
    """Writes at an offset and tells how many bytes went in. One writer only: Windows has no positioned write."""
    os.lseek(fd, at, os.SEEK_SET)
    return os.write(fd, data)


class Reader:
    """An open file to read pieces from, by any number of threads."""

    def __init__(self, path: Path) -> None:
        self._fd = os.open(path, os.O_RDONLY | getattr(os, "O_BINARY", 0))
        self._turn = Lock()

    def read(self, start: int, stop: int) -> bytes:
        """The bytes from `start` up to `stop`, fewer where the file ends before. OSError when the disk refuses."""
        if hasattr(os, "pread"):
            return os.pread(self._fd, stop - start, start)
        with self._turn:
            os.lseek(self._fd, start, os.SEEK_SET)
            return os.read(self._fd, stop - start)

    def close(self) -> None:
        """Lets the file go. It cannot be read from after this."""
        with self._turn:
            if self._fd >= 0:
                os.close(self._fd)
                self._fd = -1


@dataclass(frozen=True)
class Disk:
    """The calls of opening and appending, so that a test can stand a failing disk in their place."""

    put: Callable[[int, bytes, int], int] = put
    sync: Callable[[int], None] = full_sync
    cut: Callable[[int, int], None] = os.ftruncate
    sync_found: Callable[[int], None] = full_sync
    """Asked once, on opening: what a killed process wrote may still be in the system's memory alone."""


REAL = Disk()


def sync_folder(folder: Path) -> None:
    """Makes a new or renamed name in `folder` lasting. Windows does so by itself."""
    if os.name == "nt":
        return
    fd = os.open(folder, os.O_RDONLY)
    try:
        full_sync(fd) if sys.platform == "darwin" else os.fsync(fd)
    finally:
        os.close(fd)


def replace_file(path: Path, data: bytes | Iterable[bytes], suffix: str = ".new") -> None:
    """Puts `data` at `path` whole or not at all: a file beside it, synced, then renamed over it.

    A crash at any moment leaves the old content or the new, never a mixture. OSError when the disk refuses; the old
    content then stands.
    """
    beside = path.with_name(path.name + suffix)
    try:
        with open(beside, "wb", opener=private) as file:
            file.writelines([data] if isinstance(data, bytes) else data)
            file.flush()
            full_sync(file.fileno())
        beside.replace(path)
    except OSError:
        with suppress(OSError):
            beside.unlink(missing_ok=True)
        raise
    sync_folder(path.parent)


def free_name(folder: Path, stem: str, suffix: str) -> Path:
    """A name in `folder` that is not taken yet."""
    number, path = 1, folder / f"{stem}{suffix}"
    while path.exists():
        number += 1
        path = folder / f"{stem}-{number}{suffix}"
    return path


def set_aside(raw: bytes, folder: Path, stem: str, suffix: str) -> Path:
    """Keeps bytes in `folder` under a name that was not taken yet."""
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    path = free_name(folder, stem, suffix)
    replace_file(path, raw)
    return path
