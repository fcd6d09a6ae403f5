"""What happened, in a file beside the data: `log/saggar.log`, a few of them, the oldest thrown away.

It names no person, no device, no address and nothing that was typed: of texts it keeps only the words below and the
shape of a path, of a fault its kind and the line of our own code. So it can be sent to somebody who is to help.
"""

import logging
import logging.handlers
import os
import re
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from io import TextIOWrapper
from pathlib import Path
from typing import Any

FOLDER, FILE = "log", "saggar.log"
BYTES, FILES = 400_000, 4
KNOWN = frozenset({"GET", "POST", "HEAD", "OPTIONS", "PUT", "DELETE", "PATCH", "local", "tls", "yard"})
SEGMENT = re.compile(r"[a-z][a-z-]*\.?[a-z]*")
PACKAGE = Path(__file__).resolve().parent
HIDDEN = "…"


@contextmanager
def written(data: Path) -> Iterator[None]:
    """What the bench logs goes to the file while the block runs. Without a file that can be written it goes nowhere."""
    log = logging.getLogger("bench")
    before = log.level
    try:
        folder = data / FOLDER
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        handler = Quiet(folder / FILE, maxBytes=BYTES, backupCount=FILES - 1, encoding="utf-8")
    except OSError:
        yield
        return
    handler.setFormatter(Discreet())
    log.addHandler(handler)
    log.setLevel(logging.INFO)
    try:
        yield
    finally:
        log.setLevel(before)
        log.removeHandler(handler)
        handler.close()


class Quiet(logging.handlers.RotatingFileHandler):
    """A file that only its owner may read, and that says nothing when the disk refuses."""

    def _open(self) -> TextIOWrapper:
        return open(self.baseFilename, "a", encoding=self.encoding, opener=_private)

    def handleError(self, record: logging.LogRecord) -> None:
        """Without the line only a hint is missing."""


def _private(path: str, flags: int) -> int:
    return os.open(path, flags, 0o600)


class Discreet(logging.Formatter):
    """One line: the moment in UTC, how grave, and what happened, without whom, where and what was typed."""

    def format(self, record: logging.LogRecord) -> str:
        args = record.args if isinstance(record.args, tuple) else ()
        said = str(record.msg) % tuple(map(_discreet, args)) if args else str(record.msg)
        moment = datetime.fromtimestamp(record.created, UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
        fault = _fault(record.exc_info[1]) if record.exc_info and record.exc_info[1] else ""
        return f"{moment} {record.levelname.lower()} {said}{fault}"


def _discreet(arg: Any) -> Any:
    if isinstance(arg, int | float):
        return arg
    text = str(arg)
    if text in KNOWN:
        return text
    if text.startswith("/"):
        return "/".join(part if not part or SEGMENT.fullmatch(part) else HIDDEN for part in text[:200].split("/"))
    return HIDDEN


def _fault(error: BaseException) -> str:
    """The kind of an error and the line of ours that was last in it."""
    ours = [
        frame
        for frame in traceback.extract_tb(error.__traceback__)
        if Path(frame.filename).resolve().is_relative_to(PACKAGE)
    ]
    if not ours:
        return f": {type(error).__name__}"
    place = Path(ours[-1].filename).resolve().relative_to(PACKAGE.parent).as_posix()
    return f": {type(error).__name__} at {place}:{ours[-1].lineno}"
