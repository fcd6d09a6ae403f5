"""`saggar demo`: opens the bench on a throwaway copy of the demo data."""

from bench.commands import serve

SAYS = "open the bench on a throwaway copy of the demo data"
GROUP = "bench"
OPENS = True
OPTIONS = serve.OPTIONS | {
    "--data": {
        "metavar": "DIR",
        "help": "an empty folder to keep the demo in (a throwaway one is made and removed without it)",
    }
}


def run(data: str | None, port: str | None, no_browser: bool, plain: bool) -> int:
    """Fill a folder with the demo, open, serve until Ctrl-C, close."""
    from bench.opening import Asked, open_bench

    return open_bench(Asked(data, port, no_browser, plain, demo=True))
