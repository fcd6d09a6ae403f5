"""`saggar measure`: measures how fast, how safe and how exact the bench is on this computer."""

SAYS = "measure how fast the bench is on this computer"
GROUP = "develop"
AS_TYPED = True


def run(words: list[str]) -> int:
    """Measure the parts named, or all."""
    from bench.measure import commandline

    return commandline.main(words)
