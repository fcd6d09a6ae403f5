"""`saggar serve`: opens the bench on the maker's own data."""

SAYS = "open the bench in the browser (the same as no command at all)"
GROUP = "bench"
OPENS = True
OPTIONS = {
    "--data": {
        "metavar": "DIR",
        "help": "the folder of saggar.json, photos, keys and backups (your own application data without it)",
    },
    "--port": {
        "metavar": "N",
        "help": "the port on localhost (the usual one, or the next that is free, without it; 0: any)",
    },
    "--no-browser": {"action": "store_true", "help": "open no browser, only say the address"},
    "--plain": {"action": "store_true", "help": "on this computer alone: no phone comes in"},
}


def run(data: str | None, port: str | None, no_browser: bool, plain: bool) -> int:
    """Open, serve until Ctrl-C, close."""
    from bench.opening import Asked, open_bench

    return open_bench(Asked(data, port, no_browser, plain, demo=False))
