"""The pictures that lie beside the data file, named by the ULID that a record gives them."""

import hashlib
from collections.abc import Iterable
from pathlib import Path

from bench.journal.disk import replace_file
from bench.journal.pictures import Picture
from bench.journal.trouble import NotKept
from bench.workshop.records import Record


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
        raise NotKept(f"The photo could not be stored: {error.strerror}. Nothing of this was recorded.") from error
    return hashlib.sha256(picture.data).hexdigest()


def sha256_of(path: Path) -> str:
    """The SHA-256 of a file's bytes, in hex."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def copy_photos(source: Path, target: Path, sentences: list[str]) -> int:
    """Copies the photos that `target` lacks and answers how many. The same name with other bytes is kept beside it."""
    if not source.is_dir() or source.resolve() == target.resolve():
        return 0
    target.mkdir(mode=0o700, parents=True, exist_ok=True)
    copied = 0
    for path in sorted(p for p in source.iterdir() if p.is_file() and p.suffix != ".new"):
        try:
            copied += _copy(path, target)
        except OSError as error:
            sentences.append(f"The photo {path.name} could not be copied: {error.strerror}.")
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


def photo_gaps(records: Iterable[Record], folder: Path) -> tuple[list[str], list[str]]:
    """The photos that records name and `folder` lacks, and those whose bytes are not the ones that were recorded."""
    missing: set[str] = set()
    altered: set[str] = set()
    for record in records:
        if record.kind != "photo.kept":
            continue
        photo, sha256 = str(record.data.get("photo")), record.data.get("sha256")
        files = [path for path in folder.glob(f"{photo}.*") if path.suffix != ".new"]
        if not files:
            missing.add(photo)
        elif all(sha256_of(path) != sha256 for path in files):
            altered.add(photo)
    return sorted(missing), sorted(altered)
