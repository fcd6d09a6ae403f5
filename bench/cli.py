"""The command line: finds the command that was meant and hands over to it.

It imports nothing that a calculation does not need, so that `saggar reckon` answers at once.
"""

import os
import sys

from bench import commands
from bench.launching import words


def main(argv: list[str] | None = None) -> int:
    """Run one command and give its exit code: 0 done, 1 it failed, 2 it was asked wrongly."""
    try:
        code = run(words.asked_plainly(sys.argv[1:] if argv is None else argv))
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
    if answer := words.answered(arguments):
        code, text = answer
        print(text, file=sys.stderr if code else sys.stdout)
        return code
    from bench.launching.parser import WrongWords, obey

    try:
        return obey(commands.find(words.command_of(arguments)), words.without_command(arguments))
    except WrongWords as wrong:
        print(wrong, file=sys.stderr)
        return 2


if __name__ == "__main__":
    sys.exit(main())
