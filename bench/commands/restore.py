"""`saggar restore FILE`: go back to an earlier copy of the data file."""

SAYS = "go back to an earlier copy of the data file, after a look at it"
GROUP = "data"
OPTIONS = {
    "file": {"metavar": "FILE", "help": "the copy to go back to: a backup, or a folder with a saggar.json"},
    "--data": {"metavar": "DIR", "help": "the folder of the data (your own application data without it)"},
    "--yes": {"action": "store_true", "help": "go back; without this nothing is changed"},
}
MORE = """The bench then holds just what stands in that copy. What was there before is kept in backups/, so that going
back can itself be undone. To add what is missing and keep the rest, use `saggar merge`. It ends with 0, or with 1
when it could not be done."""


def run(file: str, data: str | None, yes: bool) -> int:
    """Say what would go and what would come, and go back where that was asked."""
    from pathlib import Path

    from bench.by_hand import acting, put_back

    return acting(data, lambda journal: put_back(journal, Path(file).expanduser(), yes), may_be_new=True)
