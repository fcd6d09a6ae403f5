"""Under which name this data folder writes, and how far it has counted.

A device's records are numbered without gaps, so nobody else may go on counting under its name. A folder that was
restored from a backup, or copied to another computer, therefore takes a new name: the old one with `~` and five
characters. The name and the last number lie in `keys/device.txt`, away from the data file, so that an older data file
put in its place is noticed. That note is a hint only: it may lag behind the data file, never run ahead of it.
"""

import secrets
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

from bench.journal.disk import replace_file
from bench.translation import _

LETTERS = "0123456789abcdefghjkmnpqrstvwxyz"
NOTE_EVERY = 256


def fresh_name(name: str) -> str:
    """A name for a device that nobody has used yet."""
    return name.partition("~")[0][:50] + "~" + "".join(secrets.choice(LETTERS) for _ in range(5))


@dataclass
class Identity:
    """This folder's device name, the last number it gave out, and the highest number on the disk of every device."""

    path: Path
    name: str
    seq: int = 0
    highs: dict[str, int] = field(default_factory=dict)
    _noted: int = -1

    @classmethod
    def read(
        cls, path: Path, wanted: str, highs: dict[str, int], lossy: bool, known: Mapping[str, int] | None = None
    ) -> tuple["Identity", str | None]:
        """The identity to go on with, and a sentence when it had to change in a way that a person should know.

        `known` is how far devices are known to have counted from elsewhere: a backup, a snapshot.
        """
        noted = read_note(path)
        name, high = noted or (wanted, 0)
        high = max(high, (known or {}).get(name, 0))
        found = highs.get(name, 0)
        say = None
        if noted is None and found and found >= high:
            name = fresh_name(name)
        elif found < high or lossy:
            old, name = name, fresh_name(name)
            say = _restored(high, found, old, name) if found < high else None
            highs.setdefault(old, found)
        identity = cls(path, name, highs.get(name, 0), highs)
        identity.note()
        return identity, say

    def landed(self, device: str, seq: int) -> None:
        """A record of `device` is on the disk."""
        self.highs[device] = max(self.highs.get(device, 0), seq)
        if device == self.name and seq >= self._noted + NOTE_EVERY:
            self.note()

    def dropped(self) -> None:
        """What was numbered but not kept gives its numbers back."""
        self.seq = self.highs.get(self.name, 0)

    def rename(self) -> str:
        """Another folder has counted under this name too: take a new one."""
        self.name = fresh_name(self.name)
        self.seq = 0
        self.note()
        return self.name

    def note(self) -> None:
        """Writes down the name and the last number. Never raises: without the note only a hint is missing."""
        self._noted = self.highs.get(self.name, 0)
        with suppress(OSError):
            self.path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            replace_file(self.path, f"{self.name}\n{self._noted}\n".encode())


def _restored(high: int, found: int, old: str, name: str) -> str:
    return _(
        "The data file ends at number {found} of {old}, but {high} was written here. "
        "From now on this bench writes as {name}.",
        high=high,
        found=found,
        old=old,
        name=name,
    )


def read_note(path: Path) -> tuple[str, int] | None:
    """The name and the last number as they were noted; None where there is no note that can be read."""
    try:
        name, high = path.read_text("utf-8").split()
        return (name, int(high)) if name else None
    except (OSError, ValueError):
        return None
