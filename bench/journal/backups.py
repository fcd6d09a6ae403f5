"""Copies of the data file, one a day, the newest few kept."""

from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

from bench.journal.disk import replace_file

KEPT = 7


def keep_backup(data: bytes | Iterable[bytes], folder: Path, stem: str, day: str) -> Path:
    """Keeps `data` as the backup of a day (2026-11-25), in place of that day's earlier one. OSError when it cannot."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{stem}-{day}.backup"
    replace_file(path, data)
    rotate(folder, stem)
    return path


def has_backup(folder: Path, stem: str, day: str) -> bool:
    """Whether that day's backup is there."""
    return (folder / f"{stem}-{day}.backup").exists()


def rotate(folder: Path, stem: str, kept: int = KEPT) -> None:
    """Removes all but the newest backups. A backup that cannot be removed stays."""
    for old in sorted(folder.glob(f"{stem}-*.backup"))[:-kept]:
        with suppress(OSError):
            old.unlink()
