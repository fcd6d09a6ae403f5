"""One process at a time: the lock on a data folder, and who holds it."""

import os
import socket
from contextlib import suppress
from pathlib import Path

from filelock import FileLock, Timeout

from bench.journal.trouble import Held, Unusable


class FolderLock:
    """Holds `saggar.lock` in a folder until released or until the process ends, however it ends.

    Held, with a sentence that names the holder, when another process has it. Beside it lies `saggar.holder` with the
    process number, the computer's name and the time; it is a note only, the lock alone decides.
    """

    def __init__(self, folder: Path, since: str) -> None:
        self._note = folder / "saggar.holder"
        self._lock = FileLock(str(folder / "saggar.lock"), timeout=0, thread_local=False)
        try:
            folder.mkdir(parents=True, exist_ok=True)
            self._lock.acquire()
        except Timeout:
            raise Held(_who(self._note)) from None
        except (OSError, NotImplementedError) as error:
            why = getattr(error, "strerror", None) or "its disk knows no locks"
            raise Unusable(f"The data folder {folder.name} cannot be used: {why}.") from error
        with suppress(OSError):
            self._note.write_text(f"{os.getpid()}\n{socket.gethostname()}\n{since}\n", "utf-8")

    def release(self) -> None:
        """Lets the next process in."""
        with suppress(OSError):
            self._note.unlink(missing_ok=True)
        self._lock.release()


def _who(note: Path) -> str:
    advice = "Use that one, or close it first: two at once would write over each other."
    try:
        pid, host, since = note.read_text("utf-8").split("\n")[:3]
    except (OSError, ValueError):
        return f"Another Saggar has this data folder open. {advice}"
    return f"Another Saggar has this data folder open: process {pid} on {host}, since {since}. {advice}"
