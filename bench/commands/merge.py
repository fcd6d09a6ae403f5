"""`saggar merge FILE`: bring in what another copy holds."""

SAYS = "bring in every record that another copy holds, after a look at it"
GROUP = "data"
OPTIONS = {
    "file": {"metavar": "FILE", "help": "another saggar.json, a backup, or a folder that holds one"},
    "--data": {"metavar": "DIR", "help": "the folder of the data (your own application data without it)"},
    "--yes": {"action": "store_true", "help": "bring it in; without this nothing is changed"},
}
MORE = """Nothing that is here is changed or lost: records that disagree are both kept, and the bench asks which is
right. The photos and attached files beside the file come too. A copy of the data file is kept first; `saggar restore`
goes back to it. It ends with 0, or with 1 when something could not be brought in."""


def run(file: str, data: str | None, yes: bool) -> int:
    """Say what it would bring, and bring it in where that was asked."""
    from pathlib import Path

    from bench.by_hand import acting, bring_in

    return acting(data, lambda journal: bring_in(journal, Path(file).expanduser(), yes))
