"""The command line: finds the command that was meant and hands over to its room.

It imports nothing that a calculation does not need, so that `saggar reckon` answers at once.
"""

import io
import os
import sys
from collections.abc import Callable
from importlib import import_module

from bench.launching.words import COMMANDS, asks_for_usage, command_of, unknown, usage, without_command

PLACES = {
    "serve": "bench.opening:serve",
    "demo": "bench.opening:demo",
    "reckon": "bench.cli:reckon",
    "verify": "bench.journal.commandline:main",
    "measure": "bench.measure.commandline:main",
    "test": "bench.selfcheck:main",
}


def main(argv: list[str] | None = None) -> int:
    """Run one command and give its exit code: 0 done, 1 it failed, 2 it was asked wrongly."""
    arguments = sys.argv[1:] if argv is None else argv
    try:
        code = run(arguments)
        sys.stdout.flush()
    except KeyboardInterrupt:
        print("\nStopped.", file=sys.stderr)
        return 130
    except BrokenPipeError:
        # Whoever read the answer has gone: end quietly, also when Python closes the output on its way out.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 141
    return code


def run(arguments: list[str]) -> int:
    """Hand over to the command that the arguments name, or answer what needs none."""
    command = command_of(arguments)
    if asks_for_usage(arguments):
        print(usage())
    elif arguments == ["--version"]:
        print(f"saggar {version()}")
    elif command not in COMMANDS:
        print(unknown(command), file=sys.stderr)
        return 2
    else:
        return find(command)(without_command(arguments))
    return 0


def reckon(argv: list[str]) -> int:
    """`saggar reckon`: JSON is UTF-8 whatever this system's own encoding is."""
    from bench.reckoning import commandline

    for stream in (sys.stdin, sys.stdout):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8")
    return commandline.main(argv, sys.stdin, sys.stdout)


def find(command: str) -> Callable[[list[str]], int]:
    """The function that runs a command, importing its room now."""
    module, _, name = PLACES[command].partition(":")
    found: Callable[[list[str]], int] = getattr(import_module(module), name)
    return found


def version() -> str:
    """The version: the installed package's, or the one in a checkout's project file."""
    import tomllib
    from importlib.metadata import PackageNotFoundError
    from importlib.metadata import version as installed
    from pathlib import Path

    project = Path(__file__).resolve().parent.parent / "pyproject.toml"
    if project.is_file():
        return str(tomllib.loads(project.read_text(encoding="utf-8"))["project"]["version"])
    try:
        return installed("saggar")
    except PackageNotFoundError:
        return "of unknown version"


if __name__ == "__main__":
    sys.exit(main())
