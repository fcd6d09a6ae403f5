"""`saggar verify FILE`: says in plain words whether a data file is sound."""

SAYS = "say whether a data file is sound, and what was lost if not"
GROUP = "data"
OPTIONS = {"file": {"metavar": "FILE", "help": "saggar.json, a backup, or a folder that holds one"}}
MORE = """It names what was lost, and which numbers of each device are missing. It changes nothing, and may be used
while the bench is open. It ends with 0 when the file is sound and no record is missing, 1 when it is damaged or records
are missing (unless you chose to go on without them), 2 when it cannot be read. Photos that are not here are told, and
alone leave it at 0."""


def run(file: str) -> int:
    """Print the verdict."""
    import sys
    from pathlib import Path

    from bench.journal.trouble import Unusable
    from bench.journal.verify import verify

    try:
        verdict = verify(Path(file))
    except Unusable as trouble:
        print(trouble.say, file=sys.stderr)
        return 2
    print("\n".join(verdict.sentences))
    return 0 if verdict.sound and not verdict.lacking else 1
