"""`saggar verify FILE`: says in plain words whether a data file is sound."""

import sys
from pathlib import Path

from bench.journal.trouble import Unusable
from bench.journal.verify import verify

HELP = """Use: saggar verify FILE

Says whether a data file (saggar.json, a backup, or a folder that holds one) is sound, what was lost if not, and which
numbers of each device are missing. It changes nothing, and may be used while the bench is open.
Ends with 0 when the file is sound, 1 when it is not, 2 when it cannot be read."""


def main(argv: list[str]) -> int:
    """Prints the verdict. 0 sound, 1 not sound, 2 unusable or asked wrongly."""
    if {"-h", "--help"} & set(argv):
        print(HELP)
        return 0
    if len(argv) != 1 or argv[0].startswith("-"):
        print(HELP, file=sys.stderr)
        return 2
    try:
        verdict = verify(Path(argv[0]))
    except Unusable as trouble:
        print(trouble.say, file=sys.stderr)
        return 2
    print("\n".join(verdict.sentences))
    return 0 if verdict.sound else 1
