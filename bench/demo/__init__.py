"""Demo data of our own invention: a lean-to workshop, told through the journal like any other records."""

from bench.demo.story import tell
from bench.demo.teller import Teller
from bench.web.current import Bench


def fill(bench: Bench) -> None:
    """Tell the lean-to workshop's last two weeks up to this moment into an empty bench."""
    tell(Teller(bench))


__all__ = ["fill"]
