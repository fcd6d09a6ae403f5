"""One process at a time: the lock on a data folder, who holds it, and at which address."""

import errno
import os
import re
import socket
import sys
from contextlib import suppress
from pathlib import Path

from filelock import FileLock, Timeout

from bench.journal.trouble import Held, Unusable
from bench.translation import _

HOLDER = "saggar.holder"
LOCAL = re.compile(r"http://localhost:\d{1,5}/")
WAIT_S = 3.0


def note_address(folder: Path, address: str) -> None:
    """Say beside the lock where the bench that holds it answers."""
    note = folder / HOLDER
    with suppress(OSError):
        if note.exists():
            note.write_text("\n".join([*note.read_text("utf-8").splitlines()[:3], address, ""]), "utf-8")


def running_at(folder: Path) -> str:
    """The address of the bench that holds a folder, where one answers there; else nothing."""
    try:
        address = (folder / HOLDER).read_text("utf-8").splitlines()[3]
        if not LOCAL.fullmatch(address):
            return ""
        with socket.create_connection(("localhost", int(address.rstrip("/").rpartition(":")[2])), WAIT_S):
            return address
    except (OSError, ValueError, IndexError):
        return ""


def is_held(folder: Path) -> bool:
    """Whether a bench holds a folder now. Makes nothing, and leaves a folder that nobody holds as it is."""
    if not (folder / "saggar.lock").exists():
        return False
    try:
        with FileLock(str(folder / "saggar.lock"), timeout=0):
            return False
    except Timeout:
        return True


class FolderLock:
    """Holds `saggar.lock` in a folder until released or until the process ends, however it ends.

    Held, with a sentence that names the holder, when another process has it. Beside it lies `saggar.holder` with the
    process number, the computer's name and the time; it is a note only, the lock alone decides. The folder itself is
    locked too where the system can: a lock file that somebody deletes keeps nobody out.
    """

    def __init__(self, folder: Path, since: str) -> None:
        self._note = folder / HOLDER
        self._lock = FileLock(str(folder / "saggar.lock"), timeout=0, thread_local=False)
        try:
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            self._lock.acquire()
            self._folder = _lock_folder(folder)
        except BlockingIOError:
            self._lock.release()
            raise Held(_who(self._note)) from None
        except Timeout:
            raise Held(_who(self._note)) from None
        except (OSError, NotImplementedError) as error:
            why = getattr(error, "strerror", None) or _("its disk knows no locks")
            raise Unusable(_("The data folder {name} cannot be used: {why}.", name=folder.name, why=why)) from error
        with suppress(OSError):
            self._note.write_text(f"{os.getpid()}\n{socket.gethostname()}\n{since}\n", "utf-8")

    def release(self) -> None:
        """Lets the next process in."""
        with suppress(OSError):
            self._note.unlink(missing_ok=True)
        if self._folder is not None:
            os.close(self._folder)
            self._folder = None
        self._lock.release()


def _lock_folder(folder: Path) -> int | None:
    """The folder, open and locked; None where the system locks no folders. BlockingIOError when another has it."""
    if sys.platform == "win32":
        return None  # there an open lock file cannot be deleted
    import fcntl

    fd = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(fd, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        os.close(fd)
        if error.errno in (errno.EWOULDBLOCK, errno.EAGAIN):
            raise BlockingIOError(error.errno, error.strerror) from error
        return None  # a network volume may know no locks on folders; the lock file decides alone
    return fd


def _who(note: Path) -> str:
    advice = _("Use that one, or close it first. Two at once would overwrite each other.")
    try:
        pid, host, since = note.read_text("utf-8").split("\n")[:3]
    except (OSError, ValueError):
        return _("Another Saggar has this data folder open. {advice}", advice=advice)
    return _(
        "Another Saggar has this data folder open: process {pid} on {host}, since {since}. {advice}",
        pid=pid,
        host=host,
        since=since,
        advice=advice,
    )
