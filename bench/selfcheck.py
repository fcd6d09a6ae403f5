"""`saggar test`: the linter, the formatter's check, the type checker and all tests in one go; or just those named."""

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from bench.clock import tick_s

ROOT = Path(__file__).resolve().parent.parent
HELP = """Use: saggar test [--quick] [PATH ...] [ARGUMENTS FOR PYTEST]

Alone it runs the linter, the formatter's check, the type checker and all tests. It ends with 0 only if all are clean.
PATH        runs just these tests: saggar test tests/science -x. So do pytest's -k and -m.
--quick     runs just the pure tests, without app, browser and paper: under a minute"""
CHOOSING = ("-k", "-m", "--lf", "--last-failed")
"""Arguments of pytest that choose some of the tests."""
IN_MEMORY, ROOMY_BYTES = Path("/dev/shm"), 4 << 30
MOST_WORKERS = 6
AT_ONCE = [("linter", ["ruff", "check", "."]), ("formatter", ["ruff", "format", "--check", "."])]
Checked = tuple[str, int, float]
"""The name of a check, its exit code, and the seconds it took."""


def is_source(command: str) -> bool:
    """Whether this is the source folder, which alone holds what developers run; says so where it is not."""
    there = (ROOT / "tests" / "measure").is_dir()
    if not there:
        print(f"What {command} runs is not installed: run ./{command} in Saggar's source folder.", file=sys.stderr)
    return there


def main(argv: list[str]) -> int:
    """Run every check even when one fails, then say how each went; just the tests where some were chosen."""
    if "--quick" in argv:
        argv = [*(word for word in argv if word != "--quick"), "-m", "quick"]
    if chooses(argv):
        return 1 if run(tests(argv)) else 0
    with throwaway() as folder:
        results = [check(what, call) for what, call in AT_ONCE]
        with reading_ahead(folder):
            results.append(check("type checker", ["mypy"]))
        results.append(check("tests", tests(argv), **folder))
    print("\n" + "\n".join(line(what, code, seconds) for what, code, seconds in results))
    return 1 if any(code for _, code, _ in results) else 0


def paths(argv: list[str]) -> list[Path]:
    """The files and folders that the arguments name, also as `file.py::test`."""
    named = (ROOT / word.partition("::")[0] for word in argv if not word.startswith("-"))
    return [path for path in named if path.exists()]


def chooses(argv: list[str]) -> bool:
    """Whether the arguments choose some of the tests."""
    return bool(paths(argv)) or any(word.startswith(CHOOSING) for word in argv)


def tests(argv: list[str]) -> list[str]:
    """Pytest with the arguments given. A single file is not worth a second process, nor what starts one."""
    named = paths(argv)
    if len(named) == 1 and named[0].is_file() and not any(word.startswith(("-n", "--dist")) for word in argv):
        return ["pytest", "-q", "-p", "no:xdist", *argv]
    workers = str(min((os.cpu_count() or 1) + 1, MOST_WORKERS))  # one more than cores: browsers are waited for
    return ["pytest", "-q", "-n", workers, "--dist", "loadfile", "--no-loadscope-reorder", *argv]


def check(what: str, call: list[str], **more: str) -> Checked:
    """Run one check: its name, its exit code, and the seconds it took. `more` is added to what it finds around it."""
    print(f"--- {what}: {' '.join(call)}", flush=True)
    started = tick_s()
    return what, run(call, **more), tick_s() - started


@contextmanager
def reading_ahead(folder: dict[str, str]) -> Iterator[None]:
    """Beside another check, have the tests compiled once where they are not: each worker would do it for itself."""
    if "PYTHONPYCACHEPREFIX" not in folder and (ROOT / "tests" / "__pycache__").exists():
        yield
        return
    quiet = ["pytest", "-q", "--collect-only", "-p", "no:xdist", "-p", "no:cacheprovider"]
    silent, around = subprocess.DEVNULL, {**os.environ, **folder}
    with subprocess.Popen([sys.executable, "-m", *quiet], cwd=ROOT, env=around, stdout=silent, stderr=silent):
        yield


@contextmanager
def throwaway() -> Iterator[dict[str, str]]:
    """Where pytest puts its folders: in memory where that has room, since thousands of small benches wait for disks."""
    if not holds_folders(IN_MEMORY):
        yield {}
        return
    folder = tempfile.mkdtemp(prefix="saggar-test-", dir=IN_MEMORY)
    try:
        yield {"PYTEST_DEBUG_TEMPROOT": folder} | kept_apart(folder)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def kept_apart(folder: str) -> dict[str, str]:
    """Where Python keeps what it compiled, if it may not beside the source: else each process compiles all anew."""
    if not sys.dont_write_bytecode:
        return {}
    return {"PYTHONDONTWRITEBYTECODE": "", "PYTHONPYCACHEPREFIX": str(Path(folder, "compiled"))}


def holds_folders(place: Path) -> bool:
    """Whether it has room, may be written, and programs in it may run."""
    if not os.access(place, os.W_OK) or not hasattr(os, "statvfs"):
        return False
    told = os.statvfs(place)
    return told.f_bavail * told.f_frsize >= ROOMY_BYTES and not told.f_flag & os.ST_NOEXEC


def run(call: list[str], **more: str) -> int:
    """Run a module of Python in the source folder; its exit code. `more` is added to what it finds around it."""
    return subprocess.run([sys.executable, "-m", *call], cwd=ROOT, env={**os.environ, **more}).returncode


def line(what: str, code: int, seconds: float) -> str:
    """One line of the summary."""
    said = "clean" if code == 0 else "no test was found" if what == "tests" and code == 5 else "FAILED"
    return f"{what:<13} {said:<18} {seconds:6.1f} s"
