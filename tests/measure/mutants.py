"""`--mutants [N] [--seed S] [--room ROOM]`: N small mistakes at random, which the tests of their module should find.

Each is put into a copy of the program, never into the program itself. First the tests run that name the module, then,
where it lives on, all of its room. It counts as found when one of them fails or comes to no end; a mistake with which
the tests cannot even be read is none, and another is drawn. The control: on the unchanged copy the same tests pass.
"""

import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from importlib.util import find_spec
from pathlib import Path

from tests.measure.figure import Figure
from tests.measure.mutating import Mutant, drawn

NAME = "mutants"
ROOT = Path(__file__).resolve().parents[2]
COPIED = ("bench", "tests", "templates", "static", "labels", "pyproject.toml")
MIRRORED = {
    "bench/science": ("tests/science",),
    "bench/records": ("tests/records", "tests/workshop"),
    "bench/workshop/things": ("tests/workshop",),
    "bench/steps": ("tests/steps", "tests/workshop"),
    "bench/journal": ("tests/journal",),
}
"""The rooms into which mistakes are put, and where the tests of each lie."""
SLOW = ("test_kills.py",)
COUNT, SEED, LEAST = 200, 1, 0.7
PASSED, FAILED, UNREADABLE = 0, 1, 2
LONGEST_S = 300
"""So much work of the processor, and ten times that on the clock: a busy computer alone finds no mistake."""


def _bound() -> None:
    import resource

    resource.setrlimit(resource.RLIMIT_CPU, (LONGEST_S, LONGEST_S + 10))


BOUNDED = None if os.name == "nt" else _bound
"""What a run of tests does first, where the system has bounds for a process."""


def run(count: int = COUNT, seed: int = SEED, room: str | None = None) -> list[Figure]:
    """Tries so many mistakes, of one room alone where it is named (`journal`); some seconds each."""
    if find_spec("cosmic_ray") is None:
        note = "Cosmic Ray is missing: .venv/bin/python -m pip install cosmic-ray"
        return [Figure("mistakes found", None, "%", f"at least {100 * LEAST:g}", None, note)]
    with tempfile.TemporaryDirectory(prefix="saggar-mutants-", ignore_cleanup_errors=True) as folder:
        copy = copied(Path(folder))
        sound = tested(copy, sorted({place for name in _rooms(room) for place in MIRRORED[name]})) == PASSED
        found = tries(copy, count, seed, room)
    survived = [mutant for mutant, killed in found if not killed]
    share = (len(found) - len(survived)) / len(found)
    goal, name = f"at least {100 * LEAST:g}", f"found, of {count} mistakes"
    return [
        Figure("unchanged, the same tests pass", float(sound), "", "1", sound, "control"),
        *(Figure(f"lived on: {mutant.words}", 0, "") for mutant in survived),
        Figure(name, 100 * share, "%", goal, share >= LEAST, f"seed {seed}"),
    ]


def tries(copy: Path, count: int, seed: int, room: str | None = None) -> list[tuple[Mutant, bool]]:
    """Each mistake, and whether it was found. Told as it goes, since it takes long."""
    found: list[tuple[Mutant, bool]] = []
    for mutant in drawn(ROOT, modules(room), seed):
        if len(found) == count:
            break
        code = tried(copy, mutant)
        if code != UNREADABLE:
            found.append((mutant, code != PASSED))
            said = "found" if code != PASSED else "LIVES"
            print(f"{len(found):>4} {said}  {mutant.words}", file=sys.stderr, flush=True)
    return found


def modules(room: str | None = None) -> list[str]:
    """The modules into which mistakes are put."""
    files = (path for name in _rooms(room) for path in sorted((ROOT / name).glob("*.py")) if path.name != "__init__.py")
    return [path.relative_to(ROOT).as_posix() for path in files]


def _rooms(room: str | None) -> list[str]:
    return [name for name in MIRRORED if room is None or name.rpartition("/")[2] == room]


def mirrors(file: str) -> tuple[list[str], list[str]]:
    """The test files that name a module, and all others of its room."""
    room, stem = file.rpartition("/")[0], Path(file).stem
    named = re.compile(rf"{re.escape(room.replace('/', '.'))}(\.| import .*\b){stem}\b")
    near: list[str] = []
    far: list[str] = []
    for path in (path for place in MIRRORED[room] for path in sorted((ROOT / place).rglob("test_*.py"))):
        if path.name in SLOW:
            continue
        mirrored = path.name == f"test_{stem}.py" or named.search(path.read_text(encoding="utf-8"))
        (near if mirrored else far).append(path.relative_to(ROOT).as_posix())
    return near, far


def copied(folder: Path) -> Path:
    """A copy of the program and its tests to spoil."""
    for name in COPIED:
        if (ROOT / name).is_dir():
            shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy2(ROOT / name, folder / name)
    return folder


def tried(copy: Path, mutant: Mutant) -> int:
    """What the tests answer to a mistake: the exit code of pytest."""
    file = copy / mutant.file
    sound = file.read_text("utf-8")
    file.write_text(mutant.text, "utf-8")
    try:
        codes = (tested(copy, files) for files in mirrors(mutant.file) if files)
        return next((code for code in codes if code != PASSED), PASSED)
    finally:
        file.write_text(sound, "utf-8")


def tested(copy: Path, files: Sequence[str]) -> int:
    """Runs test files on the copy until the first failure, and gives pytest's exit code."""
    without = ("-p", "no:cacheprovider", "-p", "no:xdist", "-o", "timeout=0")
    call = [sys.executable, "-m", "pytest", "-q", "-x", *without, *files]
    environment = {**os.environ, "PYTHONDONTWRITEBYTECODE": "1", "PYTHONPATH": str(copy), "CI": "1"}
    try:
        return subprocess.run(
            call, cwd=copy, env=environment, capture_output=True, timeout=10 * LONGEST_S, preexec_fn=BOUNDED
        ).returncode
    except subprocess.TimeoutExpired:
        return FAILED
