"""`saggar watch FOLDER`: keeps this bench and a shared folder the same, both ways."""

SAYS = "bring this bench and a shared folder or stick together, both ways"
GROUP = "data"
OPTIONS = {
    "folder": {"metavar": "FOLDER", "help": "a stick, a share, or a folder that a service copies between computers"},
    "--data": {"metavar": "DIR", "help": "the folder of the data (your own application data without it)"},
    "--yes": {"action": "store_true", "help": "do it; without this only say what would be brought each way"},
    "--join": {"action": "store_true", "help": "go on though both sides hold records and none in common"},
    "--once": {"action": "store_true", "help": "once, and end; without this again and again until Ctrl-C"},
}
MORE = """Every bench writes files of its own there, under saggar/, and reads those of the others; the live data file
never lies there. Photos and attached files come too. Nothing is changed or removed, here or there: records that
disagree are both kept, and the bench asks which is right. While the bench is open, use its page Backups instead.
It ends with 0, or with 1 when it could not be done."""


def run(folder: str, data: str | None, yes: bool, join: bool, once: bool) -> int:
    """Say what would be brought, and bring it where that was asked."""
    from pathlib import Path

    from bench.by_hand import acting, bring_together
    from bench.journal import Journal

    def act(journal: Journal) -> int:
        return bring_together(journal, Path(folder).expanduser(), yes, once, join)

    return acting(data, act, may_be_new=True)
