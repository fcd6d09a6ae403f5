"""What can be counted in the source: lines, modules, the files that know of a step, what strict typing finds."""

import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
ROOMS = ("bench", "static", "templates", "tests")
TEXTS = frozenset({".py", ".js", ".html", ".json"})
LEFT_OUT = frozenset({"measure", "past"})
"""What measures, and the files of earlier programs: a step that is added touches neither."""


def lines_of(files: Iterator[Path]) -> int:
    """All lines of these files."""
    return sum(path.read_bytes().count(b"\n") for path in files)


def python_files() -> Iterator[Path]:
    """The program's own modules."""
    return (path for path in (ROOT / "bench").rglob("*.py") if "__pycache__" not in path.parts)


def script_files() -> Iterator[Path]:
    """The scripts of our own that a browser runs."""
    return (path for path in (ROOT / "static").rglob("*.js") if "vendor" not in path.parts)


def knowing(step: str, record: str) -> list[str]:
    """The files that a step is in: that name it, its record or its module as code does; of tests, its record."""
    program = re.compile(rf"""["'](?:{re.escape(step)}|{re.escape(record)})["']|steps\.{step}\b|\b{step}\.html""")
    tests = re.compile(rf"""["']{re.escape(record)}["']""")
    files = (path for room in ROOMS for path in (ROOT / room).rglob("*") if path.suffix in TEXTS)
    texts = ((path, path.read_text(encoding="utf-8")) for path in files if not LEFT_OUT & set(path.parts))
    found = [
        path
        for path, text in texts
        if path.stem in (step, f"test_{step}") or (tests if "tests" in path.parts else program).search(text)
    ]
    return sorted(path.relative_to(ROOT).as_posix() for path in found)


def strict_errors() -> int | None:
    """What `mypy --strict` finds; None where it cannot run here."""
    call = [sys.executable, "-m", "mypy", "--strict", "--no-error-summary"]
    done = subprocess.run(call, cwd=ROOT, capture_output=True, text=True)
    return done.stdout.count(": error:") if done.returncode in (0, 1) else None
