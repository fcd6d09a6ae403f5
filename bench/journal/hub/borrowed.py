"""What other workshops of a hub share, as it was read here: each in a folder of its own, never among the bench's own.

Nothing of it counts as a record of this bench. It lies in `others/` beside the data file and can be read again.
"""

import hashlib
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from bench.journal.carrier import Carrier
from bench.journal.envelopes import read_line
from bench.journal.marks import note_of_others, workshop_of
from bench.journal.merging import FILE, read_file
from bench.journal.restoring import order_restore
from bench.journal.safekeeping import BEFORE
from bench.journal.syncing import Difference, Synced
from bench.journal.view import View, folded
from bench.records.state import State

if TYPE_CHECKING:
    from bench.journal.journal import Journal

OTHERS, LEFT = "others", "left"


class Borrowed:
    """The folders of other workshops beside one bench's data. `opening` opens one of them as a data folder."""

    def __init__(self, folder: Path, opening: "Callable[[Path], Journal]") -> None:
        self.folder, self._opening = folder / OTHERS, opening
        self._seen: dict[Path, tuple[tuple[int, int], View]] = {}

    def workshops(self) -> list[str]:
        """The workshops of which something was read, by name."""
        places = (file.parent for file in self.folder.glob(f"*/{FILE}"))
        return sorted(name for place in places if (name := workshop_of(place)))

    def place(self, workshop: str) -> Path:
        """The folder of a workshop; its name follows from the workshop's, which may hold any sign."""
        return self.folder / key_of(workshop)

    def photos(self, workshop: str) -> Path:
        """Where the photos of a workshop lie."""
        return self.place(workshop) / "photos"

    def preview(self, workshop: str, carrier: Carrier) -> Difference:
        """What is new there. Trouble, OSError."""
        with self._opened(workshop) as theirs:
            return theirs.syncing.preview(carrier)

    def take(self, workshop: str, carrier: Carrier) -> Synced:
        """Reads what is new there; what was read before is kept aside first. Trouble, OSError as far as it came."""
        with self._opened(workshop) as theirs:
            theirs.safe.set_aside()
            return theirs.syncing.fetch(carrier)

    def undo(self, workshop: str) -> bool:
        """Goes back to what was kept aside last; where nothing was read before, all of it is put away. As `take`.

        False where nothing was read of that workshop.
        """
        place = self.place(workshop)
        if not (place / FILE).exists():
            return False
        kept = max((place / "backups").glob(f"*{BEFORE}"), key=lambda path: path.stat().st_mtime_ns, default=None)
        if kept is not None:
            order_restore(place, kept)
            with self._opened(workshop):
                return True
        left, number = self.folder / LEFT, 1
        left.mkdir(mode=0o700, exist_ok=True)
        while (target := left / f"{place.name}-{number}").exists():
            number += 1
        place.rename(target)
        return True

    def count(self, workshop: str) -> int:
        """How many records were read of a workshop. Unusable, OSError where they cannot be read."""
        file = self.place(workshop) / FILE
        return len(read_file(file).lines) if file.is_file() else 0

    def state(self, workshop: str) -> State:
        """What was read of a workshop comes to this. Unusable, OSError where it cannot be read."""
        file = self.place(workshop) / FILE
        seen = file.stat()
        mark = (seen.st_mtime_ns, seen.st_size)
        known = self._seen.get(file)
        if known is None or known[0] != mark:
            lines = read_file(file).lines
            known = self._seen[file] = mark, folded(read_line(key, line) for key, line in lines.items())
        with known[1].reading() as state:
            return state

    def _opened(self, workshop: str) -> "Journal":
        note_of_others(self.place(workshop), workshop)
        return self._opening(self.place(workshop))


def key_of(workshop: str) -> str:
    """A short name for a workshop that fits into an address and a folder."""
    return hashlib.blake2b(workshop.encode(), digest_size=8).hexdigest()


class Reading(NamedTuple):
    """What was seen or brought last of what one other workshop shares."""

    workshop: str
    seen: Difference | None = None
    done: Synced | None = None
