"""`--mutants`: twenty small mistakes in the store, the fold and the gates; each must be found by a test that is named.

Each is put into a copy of the program, never into the program itself. A mistake counts as found when its tests run and
one of them fails; when they cannot run at all it is not. The control: on the unchanged copy the same tests pass.
"""

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

from tests.measure.figure import Figure
from tests.measure.mutant_list import MUTANTS, Mutant

NAME = "mutants"
ROOT = Path(__file__).resolve().parents[2]
COPIED = ("bench", "tests", "templates", "static", "labels", "pyproject.toml")
PASSED, FAILED = 0, 1


def run(mutants: Sequence[Mutant] = MUTANTS) -> list[Figure]:
    """Tries every mistake; some minutes."""
    with tempfile.TemporaryDirectory(prefix="saggar-mutants-", ignore_cleanup_errors=True) as folder:
        copy = copied(Path(folder))
        files = sorted({mutant.tests for mutant in mutants})
        sound = tested(copy, files) == PASSED
        figures = [found(mutant, tried(copy, mutant)) for mutant in mutants]
    killed = sum(figure.met is True for figure in figures)
    control = Figure("unchanged, the same tests pass", float(sound), "", "1", sound, "control")
    total = Figure(f"found, of {len(mutants)} mistakes", killed, "", str(len(mutants)), killed == len(mutants))
    return [*figures, control, total]


def copied(folder: Path) -> Path:
    """A copy of the program and its tests to spoil."""
    for name in COPIED:
        if (ROOT / name).is_dir():
            shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy2(ROOT / name, folder / name)
    return folder


def tried(copy: Path, mutant: Mutant) -> int:
    """What the tests answer to a mistake: the exit code of pytest. ValueError where its place is not there once."""
    file = copy / mutant.file
    sound = file.read_text("utf-8")
    if sound.count(mutant.was) != 1:
        raise ValueError(f"{mutant.file} does not hold this once: {mutant.was}")
    file.write_text(sound.replace(mutant.was, mutant.put), "utf-8")
    try:
        return tested(copy, [mutant.tests])
    finally:
        file.write_text(sound, "utf-8")


def tested(copy: Path, files: Sequence[str]) -> int:
    """Runs test files on the copy until the first failure, and gives pytest's exit code."""
    call = [sys.executable, "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", "-p", "no:xdist", *files]
    environment = {**os.environ, "PYTHONDONTWRITEBYTECODE": "1", "PYTHONPATH": str(copy)}
    return subprocess.run(call, cwd=copy, env=environment, capture_output=True).returncode


def found(mutant: Mutant, code: int) -> Figure:
    """One mistake in words."""
    said = {PASSED: f"survived {mutant.tests}", FAILED: f"found by {mutant.tests}"}
    note = said.get(code, f"{mutant.tests} could not run ({code})")
    return Figure(mutant.name, float(code == FAILED), "", "1", code == FAILED, note)
