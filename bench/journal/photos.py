"""The pictures, and the attached files, that lie beside the data file, named by the ULID that a record gives them."""

import hashlib
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any, Final

from bench.journal.disk import replace_file
from bench.journal.pictures import Picture
from bench.journal.trouble import NotKept
from bench.records.record import Record
from bench.translation import _

NAMED_BY: Final = {"photo.kept": "photo", "file.attached": "file"}
"""The kinds of records that name a file in the folder of the photos, and the field that names it."""


def named_file(kind: str, data: Mapping[str, Any]) -> tuple[str, str] | None:
    """The ULID and the SHA-256 of the file that a record names; None for a record that names none."""
    field = NAMED_BY.get(kind)
    return (str(data.get(field)), str(data.get("sha256"))) if field is not None else None


def find_photo(folder: Path, photo: str) -> Path | None:
    """The file of a photo, whatever kind of picture it is; None when it is not there."""
    return next((path for path in sorted(folder.glob(f"{photo}.*")) if path.suffix != ".new"), None)


def keep_photo(folder: Path, photo: str, picture: Picture) -> str:
    """Keeps a picture under a ULID; the SHA-256 of what is stored, in hex.

    The same bytes under the same name are kept once. Errors: NotKept when the disk refuses.
    """
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        replace_file(folder / f"{photo}.{picture.ending}", picture.data)
    except OSError as error:
        raise NotKept(
            _("The photo could not be stored: {strerror}. Nothing of this was recorded.", strerror=error.strerror)
        ) from error
    return hashlib.sha256(picture.data).hexdigest()


def sha256_of(path: Path) -> str:
    """The SHA-256 of a file's bytes, in hex."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def copy_photos(source: Path, target: Path, sentences: list[str]) -> int:
    """Copies the photos that `target` lacks and answers how many. The same name with other bytes is kept beside it.

    Each comes whole or not at all, so a second try brings what the first did not. What only points elsewhere stays.
    """
    if not source.is_dir() or source.resolve() == target.resolve():
        return 0
    target.mkdir(mode=0o700, parents=True, exist_ok=True)
    copied = 0
    for path in sorted(p for p in source.iterdir() if p.is_file() and not p.is_symlink() and p.suffix != ".new"):
        try:
            copied += _copy(path, target)
        except OSError as error:
            sentences.append(
                _("The photo {name} could not be copied: {strerror}.", name=path.name, strerror=error.strerror)
            )
    return copied


def _copy(path: Path, target: Path) -> bool:
    data = path.read_bytes()
    place = target / path.name
    if place.exists():
        if place.read_bytes() == data:
            return False
        digest = hashlib.blake2b(data, digest_size=6).hexdigest()
        place = target / f"{path.stem}.{digest}{path.suffix}"
        if place.exists():
            return False
    replace_file(place, data)
    return True


def photo_gaps(records: Iterable[Record], folder: Path, kind: str = "photo.kept") -> tuple[list[str], list[str]]:
    """The files that records of a kind name and `folder` lacks, and those whose bytes are not as recorded."""
    missing: set[str] = set()
    altered: set[str] = set()
    for record in records:
        named = named_file(record.kind, record.data) if record.kind == kind else None
        if named is None:
            continue
        photo, sha256 = named
        files = [path for path in folder.glob(f"{photo}.*") if path.suffix != ".new"]
        if not files:
            missing.add(photo)
        elif all(sha256_of(path) != sha256 for path in files):
            altered.add(photo)
    return sorted(missing), sorted(altered)
