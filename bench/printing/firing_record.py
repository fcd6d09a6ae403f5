"""A firing's record on one page: what it says. The screens fill it in, `labels/firing_record.html` lays it out."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from bench.printing.symbols import Symbol, symbol

MOST_EVENTS = 36
MOST_SOURCES = 12
ROOMY = 44


@dataclass(frozen=True)
class Crucible:
    """One of the load as a row of words: where it stood, when it was in, and what it got."""

    code: str
    what: str
    place: str
    went_in: str
    came_out: str
    out_c: str
    above_min: str
    peak_c: str
    work: str


@dataclass(frozen=True)
class FiringRecord:
    """The page. `floors` are the tiers from above: (tier, places as drawn, height of the drawing, ring or grid)."""

    title: str
    code: str
    head: tuple[str, ...]
    planned: tuple[str, ...]
    measured: tuple[str, ...]
    floors: tuple[tuple[int, Sequence[Any], float, str], ...]
    crucibles: tuple[Crucible, ...]
    all_events: tuple[tuple[str, str], ...]
    gases: tuple[str, ...]
    checks: tuple[str, ...]
    sources: str
    foot: str
    above_c: str
    soak_c: str

    @property
    def symbol(self) -> Symbol | None:
        return symbol(self.code, 1, 7) if self.code else None

    @property
    def words(self) -> str:
        return f"{self.code[:5]}-{self.code[5:]}" if len(self.code) == 6 else ""

    @property
    def events(self) -> tuple[tuple[str, str], ...]:
        """The first and the last of what happened, as many as fit on the page."""
        half = MOST_EVENTS // 2
        return self.all_events if not self.more_events else self.all_events[:half] + self.all_events[-half:]

    @property
    def more_events(self) -> int:
        return max(0, len(self.all_events) - MOST_EVENTS)

    @property
    def lines(self) -> int:
        """About how many lines it takes beside the curve, by which its letters are sized."""
        columns = len(self.planned) + len(self.measured) + len(self.events) + len(self.checks)
        return columns // 2 + 2 * len(self.crucibles) + len(self.gases) + len(self.head)
