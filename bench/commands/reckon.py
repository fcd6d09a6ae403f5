"""`saggar reckon KIND`: JSON in, JSON out, one line an answer."""

SAYS = "answer one calculation: JSON in, JSON out"
GROUP = "calculate"
AS_TYPED = True


def run(words: list[str]) -> int:
    """Answer on the standard output; JSON is UTF-8 whatever this system's own encoding is."""
    import io
    import sys

    from bench.reckoning import KINDS, commandline

    for stream in (sys.stdin, sys.stdout):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8")
    try:
        return commandline.main(words, sys.stdin, sys.stdout)
    except ModuleNotFoundError:
        if not {"-h", "--help"} & set(words):
            raise
        # Asked before the packages are installed: the kinds' own words lie beside what needs them.
        print(f"saggar reckon KIND [JSON] reads one JSON object, or one on each line. Kinds: {', '.join(KINDS)}.")
        print("saggar reckon KIND --help tells more once Saggar has been started.")
        return 0
