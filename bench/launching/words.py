"""What the command line says before a command runs: which one was meant, the help of the whole, and the version.

It uses the standard library only, as all of the launcher does: nothing else is installed when it is asked.
"""

import os
import sys

from bench import commands

OPTIONS_WITH_A_VALUE = ("--data", "--port")
HELP_WORDS = {"-h", "--help"}
VERSION_WORDS = {"-V", "--version"}
STARTS_AS_BEFORE = (
    "Saggar starts with the packages of before. What is new in it may be missing until they can be fetched."
)


def command_at(argv: list[str]) -> int | None:
    """Where in the arguments the command stands, or None when only options were given.

    Options of the bench may come before the command, so that `--port 9000 demo` means what it says.
    """
    at = 0
    while at < len(argv):
        if argv[at] in OPTIONS_WITH_A_VALUE:
            at += 2
        elif argv[at].startswith("-"):
            at += 1
        else:
            return at
    return None


def command_of(argv: list[str]) -> str:
    """The command that the arguments name; `serve` when they name none."""
    at = command_at(argv)
    return "serve" if at is None else argv[at]


def without_command(argv: list[str]) -> list[str]:
    """The arguments less the command's own word, in their order."""
    at = command_at(argv)
    return list(argv) if at is None else argv[:at] + argv[at + 1 :]


def asked_plainly(argv: list[str]) -> list[str]:
    """The arguments with `help COMMAND` as `COMMAND --help`, which means the same."""
    return [*argv[1:], "--help"] if argv[:1] == ["help"] else argv


def answered(argv: list[str]) -> tuple[int, str] | None:
    """The exit code and the text where the words need no command at all: help, version, a word that is none."""
    if asks_for_usage(argv):
        return 0, usage()
    if command_at(argv) is None and VERSION_WORDS & set(argv):
        return 0, f"saggar {version()}"
    command = command_of(argv)
    if command in commands.words():
        return None
    before = argv[max(0, (command_at(argv) or 0) - 1)]
    known = [*commands.find("serve").options, "--version", "--help"]
    if before.startswith("-") and before not in known:
        return 2, f"{before[:60]} is not known here.{meant(before, known)} `saggar --help` shows what can be given."
    return 2, unknown(command)


def asks_for_usage(argv: list[str]) -> bool:
    """Whether help was asked for the whole, and not for one command."""
    return command_at(argv) is None and bool(HELP_WORDS & set(argv))


def asks_for_help(argv: list[str]) -> bool:
    """Whether help was asked for one command."""
    return bool(HELP_WORDS & set(argv))


def usage() -> str:
    """What `saggar --help` says."""
    all_words = commands.words()
    width = max(map(len, all_words))
    lines = ["Saggar: the bench companion for calcining mineral pigments.", "", "Use: saggar [COMMAND] [OPTIONS]"]
    found = [commands.find(word) for word in all_words]
    for group, heading in commands.GROUPS.items():
        lines += ["", f"{heading}:"]
        lines += [f"  {command.word:<{width}}  {command.says}" for command in found if command.group == group]
    return "\n".join(
        [*lines, "", "saggar COMMAND --help says more about one of them. saggar --version says which it is."]
    )


def unknown(command: str) -> str:
    """The sentence for a word that is no command, with the nearest one where there is one."""
    all_words = commands.words()
    *most, last = all_words
    return (
        f"{command[:60]!r} is no command of Saggar.{meant(command, all_words)} "
        f"The commands are {', '.join(most)} and {last}."
    )


def meant(typed: str, known: list[str]) -> str:
    """A question for the known word that is nearest to the typed one, with a blank before it; empty without one."""
    import difflib

    near = difflib.get_close_matches(typed.lower(), known, n=1)
    return f" Did you mean {near[0]}?" if near else ""


def version() -> str:
    """The version: the one in a checkout's project file, or the installed package's."""
    import tomllib
    from importlib.metadata import PackageNotFoundError
    from importlib.metadata import version as installed

    project = os.path.join(os.path.dirname(os.path.dirname(os.path.dirname(__file__))), "pyproject.toml")
    try:
        with open(project, "rb") as file:
            return str(tomllib.load(file)["project"]["version"])
    except OSError:
        pass
    try:
        return installed("saggar")
    except PackageNotFoundError:
        return "of unknown version"


def say(line: str) -> None:
    """One line to the person. On the error output, since a calculation's answer goes to the other."""
    sys.stderr.write(line + "\n")
    sys.stderr.flush()
