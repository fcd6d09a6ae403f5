"""`saggar repair FILE`: puts a damaged data file right and keeps it as it was found."""

SAYS = "put a damaged data file right, after a look at it"
GROUP = "data"
OPTIONS = {
    "file": {"metavar": "FILE", "help": "a saggar.json, a backup, or a folder that holds one"},
    "--yes": {"action": "store_true", "help": "put it right; without this nothing is changed"},
}
MORE = """Every whole record is kept, and what the backups beside it hold is filled in. The file as it was found is kept
beside it. The bench does the same by itself when it opens its own file. It ends with 0 when the file is sound
afterwards, 1 when it is not, 2 when it cannot be read."""


def run(file: str, yes: bool) -> int:
    """Say what is wrong, and put it right where that was asked."""
    from pathlib import Path

    from bench.by_hand import put_right

    return put_right(Path(file).expanduser(), yes)
