"""Whether a folder lies where a service copies files between computers behind one's back.

A lock holds on one computer only, so two computers that share a synchronised folder can write over each other. What
such a service's folder is called is common knowledge, kept short; a list like this can warn, and never prove absence.
"""

import os
from collections.abc import Mapping
from pathlib import Path

from bench.translation import _

NAMES = (
    "onedrive",
    "dropbox",
    "google drive",
    "googledrive",
    "icloud",
    "mobile documents",
    "cloudstorage",
    "nextcloud",
)
MARKS = (".stfolder", ".sync", ".dropbox")
VARIABLES = ("OneDrive", "OneDriveConsumer", "OneDriveCommercial")


def cloud_warning(folder: Path, environ: Mapping[str, str] = os.environ) -> str | None:
    """A sentence when `folder` seems to lie in a synchronised folder; None when nothing speaks for it."""
    path = folder.resolve()
    for place in (path, *path.parents):
        named = any(place.name.lower().startswith(name) for name in NAMES)
        if named or any((place / mark).exists() for mark in MARKS) or str(place) in _declared(environ):
            return _(
                "The data folder is inside a synced folder ({where}). Two computers could overwrite each other. "
                "Move it with --data, and join records with a merge.",
                where=place.name,
            )
    return None


def _declared(environ: Mapping[str, str]) -> set[str]:
    return {str(Path(environ[name]).resolve()) for name in VARIABLES if environ.get(name)}
