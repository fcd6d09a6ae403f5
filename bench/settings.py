"""Where the bench keeps its things and how it was asked to open. Handed to the rooms, which never look for it."""

import os
import secrets
from dataclasses import dataclass
from pathlib import Path

DEFAULT_PORT = 8440
YARD_PORT = 8441
TLS_PORT = 8443
PACKAGE = Path(__file__).resolve().parent
ASSETS = ("templates", "static", "labels")
LOCALE = PACKAGE / "locale"
"""The catalogues of other languages: `<language>/LC_MESSAGES/saggar.mo`."""


@dataclass(frozen=True)
class Settings:
    """How the bench was opened.

    `data` is the folder of everything kept; `port` is asked for on localhost (0: any free one); `plain` means on this
    computer alone; else phones come in at `tls_port`, encrypted, and at `yard_port`, plain. `demo` means: the folder
    is a throwaway copy of the demo data. `language` is that of the texts; what the bench is set to without it.
    """

    data: Path
    port: int = DEFAULT_PORT
    plain: bool = True
    open_browser: bool = True
    demo: bool = False
    language: str = ""
    tls_port: int = TLS_PORT
    yard_port: int = YARD_PORT

    @property
    def file(self) -> Path:
        """The data file: the only one of its kind in the folder."""
        return self.data / "saggar.json"

    @property
    def photos(self) -> Path:
        """The folder of the photos."""
        return self.data / "photos"

    @property
    def keys(self) -> Path:
        """The folder of secrets, which only its owner may read."""
        return self.data / "keys"

    @property
    def backups(self) -> Path:
        """The folder of the backups."""
        return self.data / "backups"


def default_data_folder() -> Path:
    """This system's folder for a person's own application data."""
    import platformdirs

    return Path(platformdirs.user_data_dir("saggar", appauthor=False))


def make_folders(settings: Settings) -> None:
    """Make the data folder and the folders in it, closed to other people.

    Errors: OSError where the disk or its rights do not allow it.
    """
    for folder in (settings.data, settings.photos, settings.backups):
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    settings.keys.mkdir(mode=0o700, exist_ok=True)


def session_key(settings: Settings) -> bytes:
    """The secret that signs this bench's cookies: 32 random bytes, made once, readable by its owner only.

    Errors: OSError where it can be neither read nor made.
    """
    path = settings.keys / "session.key"
    for _ in range(2):
        try:
            kept = path.read_bytes()
        except FileNotFoundError:
            kept = b""
        if len(kept) == 32:
            return kept
        write_secret(path, secrets.token_bytes(32))
    return path.read_bytes()


def write_secret(path: Path, secret: bytes) -> None:
    """Write a file that only its owner may read; it is there whole or not at all."""
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    temporary = path.with_name(f"{path.name}.{secrets.token_hex(4)}")
    handle = os.open(temporary, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(secret)
            file.flush()
            os.fsync(file.fileno())
        temporary.replace(path)
        if os.name != "nt":  # else a power cut may take the new name away again
            folder = os.open(path.parent, os.O_RDONLY)
            try:
                os.fsync(folder)
            finally:
                os.close(folder)
    finally:
        temporary.unlink(missing_ok=True)


def asset_folder(name: str) -> Path:
    """The folder of templates, static files or labels: beside the package in a checkout, inside it once installed.

    Errors: ValueError for another name; FileNotFoundError where the installation is not whole.
    """
    if name not in ASSETS:
        raise ValueError(f"no such folder of assets: {name}")
    for folder in (PACKAGE / "_assets" / name, PACKAGE.parent / name):
        if folder.is_dir():
            return folder
    raise FileNotFoundError(f"the folder {name} is missing from this installation of Saggar")
