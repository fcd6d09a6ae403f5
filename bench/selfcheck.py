"""`saggar test`: the linter, the formatter's check, the type checker and all tests, in one go."""

import os
import subprocess
import sys
from pathlib import Path

from bench.clock import tick_s

ROOT = Path(__file__).resolve().parent.parent
HELP = """Use: saggar test [ARGUMENTS FOR PYTEST]

Runs the linter, the formatter's check, the type checker and all tests, and ends with 0 only if all are clean.
Arguments go to pytest: saggar test tests/science -x"""


def is_source(command: str) -> bool:
    """Whether this is the source folder, which alone holds what developers run; says so where it is not."""
    there = (ROOT / "tests" / "measure").is_dir()
    if not there:
        print(f"What {command} runs is not installed: run ./{command} in Saggar's source folder.", file=sys.stderr)
    return there


def main(argv: list[str]) -> int:
    """Run every check even when one fails, then say how each went. Arguments are handed to pytest."""
    results = [check(what, call) for what, call in calls(argv)]
    print("\n" + "\n".join(line(what, code, seconds) for what, code, seconds in results))
    return 1 if any(code for _, code, _ in results) else 0


def calls(argv: list[str]) -> list[tuple[str, list[str]]]:
    """What is run, in order: a name, and the arguments after `python -m`."""
    workers = str(min(os.cpu_count() or 1, 4))
    return [
        ("linter", ["ruff", "check", "."]),
        ("formatter", ["ruff", "format", "--check", "."]),
        ("type checker", ["mypy"]),
        ("tests", ["pytest", "-q", "-n", workers, "--dist", "loadfile", "--no-loadscope-reorder", *argv]),
    ]


def check(what: str, call: list[str]) -> tuple[str, int, float]:
    """Run one check in the source folder: its name, its exit code, and the seconds it took."""
    print(f"--- {what}: {' '.join(call)}", flush=True)
    started = tick_s()
    code = subprocess.run([sys.executable, "-m", *call], cwd=ROOT).returncode
    return what, code, tick_s() - started


def line(what: str, code: int, seconds: float) -> str:
    """One line of the summary."""
    said = "clean" if code == 0 else "no test was found" if what == "tests" and code == 5 else "FAILED"
    return f"{what:<13} {said:<18} {seconds:6.1f} s"
