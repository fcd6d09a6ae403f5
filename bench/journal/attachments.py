"""Files that are attached to a thing: kept among the photos, by their ULID and without a kind; nothing runs them.

Every one ends in `.bin`, whatever it was called; its own name stands in its record alone.
"""

import hashlib
import re
import unicodedata
from pathlib import Path
from typing import Final

from bench.journal.disk import replace_file
from bench.journal.trouble import NotKept
from bench.science.refusal import Refusal
from bench.translation import _

ENDING: Final = "bin"
MOST_MB: Final = 25
MOST_BYTES: Final = MOST_MB * 1024 * 1024
LONG = _("That file is larger than {most_mb} MB. Attach a smaller one.", most_mb=MOST_MB)
EMPTY = _("That file is empty. Choose another one.")
NAMELESS = "file"
MOST_NAME = 100
RESERVED = re.compile(r'[<>:"/\\|?*]')
"""What one of the usual systems does not take in the name of a file."""


def checked(data: bytes) -> bytes:
    """A file that may be attached. Errors: Refusal for an empty or too large one."""
    if not data:
        raise Refusal(EMPTY, "file")
    if len(data) > MOST_BYTES:
        raise Refusal(LONG, "file")
    return data


def plain_name(name: str) -> str:
    """A file's own name without folders, and without what hides or turns its letters; cut short before its ending."""
    last = re.split(r"[/\\]", unicodedata.normalize("NFC", name))[-1]
    seen = "".join(c if c == " " or unicodedata.category(c)[0] not in "CZ" else "" for c in last)
    said = RESERVED.sub("_", " ".join(seen.split())).strip(" .")
    stem, dot, ending = said.rpartition(".")
    if len(said) > MOST_NAME and dot and len(ending) <= 12:
        return f"{stem[: MOST_NAME - len(ending) - 1].rstrip(' .')}.{ending}"
    return said[:MOST_NAME].rstrip(" .") or NAMELESS


def keep_attachment(folder: Path, file: str, data: bytes) -> str:
    """Keeps a file under a ULID; its SHA-256 in hex. Errors: NotKept when the disk refuses."""
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        replace_file(folder / f"{file}.{ENDING}", data)
    except OSError as error:
        raise NotKept(
            _("The file could not be stored: {strerror}. Nothing of this was recorded.", strerror=error.strerror)
        ) from error
    return hashlib.sha256(data).hexdigest()


def attachment(folder: Path, file: str, sha256: str) -> bytes | None:
    """The bytes that were attached; None where they are not here. Errors: Refusal where they are not as recorded."""
    found = False
    for path in sorted(folder.glob(f"{file}*.{ENDING}")):
        data = path.read_bytes()
        if hashlib.sha256(data).hexdigest() == sha256:
            return data
        found = True
    if found:
        raise Refusal(_("This file has changed since it was attached. Attach it again from your own copy."))
    return None
