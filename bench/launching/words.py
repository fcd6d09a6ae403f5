"""The command's words: which command was meant, the sentence for one that is none, and a line to the person."""

import sys

COMMANDS = {
    "serve": "open the bench in the browser (the same as no command at all)",
    "demo": "open the bench on a throwaway copy of the demo data",
    "reckon": "answer one calculation: JSON in, JSON out",
    "verify": "say whether a data file is sound, and what was lost if not",
    "measure": "measure how fast the bench is on this computer",
    "test": "run the linter, the formatter's check, the type checker and all tests",
}
OPTIONS_WITH_A_VALUE = ("--data", "--port")


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


def asks_for_usage(argv: list[str]) -> bool:
    """Whether help was asked for the whole, and not for one command."""
    return argv[:1] == ["help"] or (command_at(argv) is None and bool({"-h", "--help"} & set(argv)))


def usage() -> str:
    """What `saggar --help` says."""
    width = max(map(len, COMMANDS))
    lines = [f"  {name:<{width}}  {what}" for name, what in COMMANDS.items()]
    return "\n".join(
        [
            "Saggar: the bench companion for calcining mineral pigments.",
            "",
            "Use: saggar [COMMAND] [OPTIONS]",
            "",
            *lines,
            "",
            "serve and demo take --data DIR, --port N, --no-browser and --plain.",
            "saggar COMMAND --help says more about one of them.",
        ]
    )


def unknown(command: str) -> str:
    """The sentence for a word that is no command, with the nearest one where there is one."""
    import difflib

    near = difflib.get_close_matches(command.lower(), COMMANDS, n=1)
    meant = f" Did you mean {near[0]}?" if near else ""
    *most, last = COMMANDS
    return f"{command[:60]!r} is no command of Saggar.{meant} The commands are {', '.join(most)} and {last}."


def say(line: str) -> None:
    """One line to the person. On the error output, since a calculation's answer goes to the other."""
    sys.stderr.write(line + "\n")
    sys.stderr.flush()
