"""`saggar backup`: a copy of the data file now, judged before it counts."""

SAYS = "copy the data file now, and read the copy back"
GROUP = "data"
OPTIONS = {
    "--data": {"metavar": "DIR", "help": "the folder of the data (your own application data without it)"},
    "--to": {"metavar": "FOLDER", "help": "the folder to copy to, such as a stick (backups/ of the data without it)"},
}
MORE = """A copy of the same day is replaced only where the new one holds all of it. While the bench is open, use its
page *Backups* instead. Copy the folder photos/ yourself. It ends with 0 when the copy is made, 1 when it is not."""


def run(data: str | None, to: str | None) -> int:
    """Make it and say where it is."""
    from pathlib import Path

    from bench.by_hand import acting, back_up

    return acting(data, lambda journal: back_up(journal, Path(to).expanduser() if to else None))
