"""`saggar hub`: this bench and the hub of a school or a group; and, for whoever keeps it, the hub itself."""

SAYS = "bring this bench and the hub of a school or a group together, or keep the hub"
GROUP = "data"
OPTIONS = {
    "--data": {"metavar": "DIR", "help": "the folder of the data (your own application data without it)"},
    "--yes": {"action": "store_true", "help": "do it; without this only say what would be brought each way"},
    "--join": {"action": "store_true", "help": "go on though both sides hold records and none in common"},
    "--connect": {"metavar": "ADDRESS", "help": "connect this bench: HOST, HOST:PORT or HOST:PORT/DATABASE"},
    "--login": {"metavar": "NAME", "help": "the login, with --connect or --add; the password is asked for"},
    "--certificate": {"metavar": "FILE", "help": "the hub's own certificate, with --connect"},
    "--disconnect": {"action": "store_true", "help": "this bench has no hub any more"},
    "--share": {"metavar": "CODE", "help": "let all workshops of the hub read one batch, for good"},
    "--read": {"metavar": "WORKSHOP", "help": "bring what a workshop shares into a folder of its own, with --into"},
    "--into": {"metavar": "DIR", "help": "the folder for --read"},
    "--keeper": {"metavar": "DATABASE", "help": "act as the owner of the hub's database, and say what it holds"},
    "--setup": {"action": "store_true", "help": "make the hub's tables, with --keeper"},
    "--add": {"metavar": "WORKSHOP", "help": "let one more bench of a workshop in, with --keeper"},
    "--shut-out": {"metavar": "LOGIN", "help": "let a lost bench in no more, with --keeper"},
}
MORE = """A hub is a PostgreSQL database (15 or newer). Each workshop writes only its own records there and reads what
others share; nothing is ever changed or removed. Without options it says what each side lacks. While the bench is
open, use its page Backups, Hub instead. It ends with 0, or with 1 when it could not be done, 2 when asked wrongly."""


def run(
    data: str | None,
    yes: bool,
    join: bool,
    connect: str | None,
    login: str | None,
    certificate: str | None,
    disconnect: bool,
    share: str | None,
    read: str | None,
    into: str | None,
    keeper: str | None,
    setup: bool,
    add: str | None,
    shut_out: str | None,
) -> int:
    """Do the one thing that was asked for."""
    import sys
    from pathlib import Path

    from bench import hub_by_hand
    from bench.by_hand import acting
    from bench.journal import Journal

    if (setup or add or shut_out) and not keeper:
        print("Name the hub's database with --keeper.", file=sys.stderr)
        return 2
    if bool(connect) != bool(login) and not keeper:
        print("--connect and --login go together.", file=sys.stderr)
        return 2
    if bool(read) != bool(into):
        print("--read and --into go together.", file=sys.stderr)
        return 2
    if keeper:
        return hub_by_hand.keep(keeper, setup, add, login, shut_out)

    def act(journal: Journal) -> int:
        if connect and login:
            return hub_by_hand.connect(journal, connect, login, certificate)
        if disconnect:
            return hub_by_hand.disconnect(journal)
        if share:
            return hub_by_hand.share(journal, share, yes)
        if read and into:
            return hub_by_hand.read_shared(journal, read, Path(into).expanduser())
        return hub_by_hand.bring_together(journal, yes, join)

    return acting(data, act, may_be_new=True)
