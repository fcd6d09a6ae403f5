"""`saggar test`: the linter, the formatter's check, the type checker and all tests, in one go."""

SAYS = "run the linter, the formatter's check, the type checker and all tests"
GROUP = "develop"
AS_TYPED = True
SETS = ("run", "test")
OPENS = True


def run(words: list[str]) -> int:
    """Run every check; the words go to pytest."""
    from bench import selfcheck

    if {"-h", "--help"} & set(words):
        print(selfcheck.HELP)
        return 0
    if not selfcheck.is_source("saggar test"):
        return 2
    return selfcheck.main(words)
