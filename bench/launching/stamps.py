"""The stamps in the private environment: what is installed there, from which lock, for which Python.

Read at every start, so this file imports next to nothing.
"""

import os
import sys

LOCK = "requirements.lock"
SECTION_START = b"# --- to "


def python_of(venv: str) -> str:
    """The environment's Python."""
    return os.path.join(venv, "Scripts", "python.exe") if os.name == "nt" else os.path.join(venv, "bin", "python")


def section(lock: bytes, name: str) -> bytes:
    """The lines of one set of packages: from its heading in the lock to the next heading.

    Errors: KeyError when the lock has no such heading.
    """
    heading = SECTION_START + name.encode() + b" ---"
    start = lock.find(heading)
    if start < 0:
        raise KeyError(name)
    end = lock.find(SECTION_START, start + len(heading))
    return lock[start:] if end < 0 else lock[start:end]


def read_lock(root: str) -> bytes:
    """The lock as it lies beside the launcher, with line ends made alike on every system."""
    with open(os.path.join(root, LOCK), "rb") as file:
        return file.read().replace(b"\r\n", b"\n")


def stamp_path(venv: str, name: str) -> str:
    """Where the stamp of one set lies."""
    return os.path.join(venv, f"saggar-{name}.stamp")


def stamp_text(lock: bytes, name: str) -> str:
    """What a stamp says: the version of this Python and the hash of the set's part of the lock."""
    import hashlib

    return f"{version()} {hashlib.sha256(section(lock, name)).hexdigest()}\n"


def version() -> str:
    """This Python's version as far as installed packages depend on it, such as 3.11."""
    return f"{sys.version_info[0]}.{sys.version_info[1]}"


def read_stamp(venv: str, name: str) -> str:
    """The stamp of one set, or an empty text where it is not installed."""
    try:
        with open(stamp_path(venv, name), encoding="ascii") as file:
            return file.read()
    except (OSError, UnicodeDecodeError):
        return ""


def forget(venv: str) -> None:
    """Take the stamps away, so that the next start makes the environment anew."""
    for name in ("run", "test"):
        if os.path.exists(stamp_path(venv, name)):
            os.unlink(stamp_path(venv, name))


def lacking(root: str, venv: str, sets: tuple[str, ...]) -> tuple[str, ...]:
    """The sets that are not installed as the lock says. Another Python than this one may have made the environment."""
    if not os.path.exists(python_of(venv)):
        return sets
    lock = read_lock(root)
    return tuple(name for name in sets if read_stamp(venv, name).split()[1:] != stamp_text(lock, name).split()[1:])


def usable(venv: str, sets: tuple[str, ...]) -> bool:
    """Whether whole sets for this Python are there, even if from an older lock."""
    return os.path.exists(python_of(venv)) and all(read_stamp(venv, name).split()[:1] == [version()] for name in sets)


def made_for_another_python(venv: str) -> bool:
    """Whether the environment was made for another version than the Python that now runs in it."""
    stamp = read_stamp(venv, "run").split()
    return bool(stamp) and stamp[0] != version()
