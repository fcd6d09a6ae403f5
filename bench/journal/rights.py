"""Who may read the data: its owner alone. What an earlier version left open to others is closed on opening."""

import os
import stat
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

OTHERS = stat.S_IRWXG | stat.S_IRWXO


def private(path: str, flags: int) -> int:
    """Opens a file that, where it is made now, only its owner may read: to be handed to `open`."""
    return os.open(path, flags, 0o600)


def close_to_others(folder: Path) -> None:
    """Takes everybody else's rights away from a data folder and all in it. Never raises; Windows has no such rights.

    A folder in it that is closed already is not walked: nobody else reaches what lies there.
    """
    if os.name == "nt":
        return
    found: list[Path] = []
    with suppress(OSError):
        found.extend(_open_ones(folder))
    for path in found:
        with suppress(OSError):
            path.chmod(stat.S_IMODE(path.stat().st_mode) & ~OTHERS)


def _open_ones(folder: Path) -> Iterator[Path]:
    for path in (folder, *folder.iterdir()):
        if _is_open(path):
            yield path
            if path != folder and path.is_dir():
                yield from (inner for inner in path.rglob("*") if _is_open(inner))


def _is_open(path: Path) -> bool:
    found = path.lstat()
    return bool(found.st_mode & OTHERS) and not stat.S_ISLNK(found.st_mode)
