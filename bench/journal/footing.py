"""Whether the open data file is still the file of its name, and what becomes of its records when it is not.

Another program may replace, rename, delete or shorten the file while the bench has it open: a sync service, an editor,
a restored backup. What is then written goes into a file that nobody finds again, or over somebody else's. So each
commit looks, and what the bench holds is kept aside as a data file of its own, which the next opening takes in.
"""

import os
from collections import deque
from pathlib import Path

from bench.journal.disk import set_aside
from bench.journal.lines import TAIL, key_of, render
from bench.journal.survey import survey
from bench.translation import _

HELD = ".held"
"""The ending of a data file that was kept aside because the file of the bench's name was another one."""
MOST_BYTES = 64 << 20


class Footing:
    """The data file at `path`, open as `fd`, and the lines that were added to it since."""

    def __init__(self, path: Path, aside: Path, stamp: str) -> None:
        self._path, self._aside, self._stamp = path, aside, stamp
        self._added: deque[bytes] = deque()
        self._bytes = 0

    def added(self, lines: list[bytes]) -> None:
        """These were appended. Only the newest 64 MB are remembered; they count where the file was shortened."""
        self._added.extend(lines)
        self._bytes += sum(map(len, lines))
        while self._bytes > MOST_BYTES:
            self._bytes -= len(self._added.popleft())

    def lost(self, fd: int, end: int, seam: bytes) -> str | None:
        """What happened to the file whose records should end at `end`, as part of a sentence; None where it is ours.

        `seam` is the byte before the newest write: a newline, unless the file was shortened in that very moment.
        """
        ours = os.fstat(fd)
        try:
            named = self._path.stat()
        except FileNotFoundError:
            return _("was moved or deleted")
        except OSError as error:
            return _("cannot be reached ({strerror})", strerror=error.strerror)
        if (named.st_dev, named.st_ino) != (ours.st_dev, ours.st_ino):
            return _("was replaced")
        return None if ours.st_size == end + len(TAIL) and seam == b"\n" else _("was changed")

    def keep_aside(self, fd: int) -> Path | None:
        """Keeps every whole record of the open file and what was added, as a data file; None if the disk refuses."""
        try:
            lines = survey(_all_of(fd)).lines
            for line in self._added:
                lines.setdefault(key_of(line), line)
            return set_aside(render(lines.values()), self._aside, f"{self._path.stem}-{self._stamp}", HELD)
        except OSError:
            return None

    def sentence(self, what: str, kept: Path | None) -> str:
        """What a person is told when the file is no longer ours."""
        where = (
            _("The bench’s records are saved as {folder}/{name}", folder=kept.parent.name, name=kept.name)
            if kept
            else _("No copy could be saved")
        )
        return _(
            "{name} {what} by another program while the bench was open. {where}",
            name=self._path.name,
            what=what,
            where=where,
        )


def _all_of(fd: int) -> bytes:
    size, pieces = os.fstat(fd).st_size, list[bytes]()
    os.lseek(fd, 0, os.SEEK_SET)
    while size > 0 and (piece := os.read(fd, size)):
        size -= len(piece)
        pieces.append(piece)
    return b"".join(pieces)
