"""`saggar measure`: measures how fast, how safe and how exact the bench is on this computer."""

SAYS = "measure how fast, how safe and how exact the bench is on this computer"
GROUP = "develop"
AS_TYPED = True
SETS = ("run", "test")


def run(words: list[str]) -> int:
    """Measure the parts named, or all."""
    from bench import selfcheck

    if not selfcheck.is_source("saggar measure"):
        return 2
    from tests.measure import commandline

    return commandline.main(words)
