"""A firing's record on one page: what it says. The screens fill it in, `labels/firing_record.html` lays it out.

Its letters are the largest, and the events it tells the most, with which it is one page. Crucibles are never left out:
where there are too many for a page, it runs on, and each page says which it is.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from bench.printing.fitting import on_one_page
from bench.printing.paper import html
from bench.printing.symbols import Symbol, symbol

ROOMY = ((9.4, 36), (8.6, 36), (8.0, 36), (7.2, 36), (6.6, 36), (6.6, 24), (6.2, 12), (5.8, 6))
"""Letters in points, and the most events that are told with them."""
MOST_SOURCES = 12
MOST_LETTERS = 400
"""What is told of one event at most; more of it stands in the data file."""


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


class Told:
    """What both records on paper have: the code as a symbol and as it is read out, and more events than fit."""

    code: str
    all_events: tuple[tuple[str, str], ...]
    most_events: int

    @property
    def symbol(self) -> Symbol | None:
        return symbol(self.code, 1, 7) if self.code else None

    @property
    def words(self) -> str:
        return f"{self.code[:5]}-{self.code[5:]}" if len(self.code) == 6 else ""

    @property
    def more_events(self) -> int:
        return max(0, len(self.all_events) - self.most_events)


def in_short(events: tuple[tuple[str, str], ...]) -> tuple[tuple[str, str], ...]:
    """Events, each in no more letters than a page has room for."""
    return tuple((at, say if len(say) <= MOST_LETTERS else f"{say[:MOST_LETTERS]}…") for at, say in events)


@dataclass(frozen=True)
class FiringRecord(Told):
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
    text_pt: float = ROOMY[0][0]
    most_events: int = ROOMY[0][1]

    @property
    def events(self) -> tuple[tuple[str, str], ...]:
        """The first and the last of what happened, as many as fit on the page."""
        half = self.most_events // 2
        return in_short(self.all_events if not self.more_events else self.all_events[:half] + self.all_events[-half:])


def firing_record_page(folder: Path, record: FiringRecord, **drawn: Any) -> str:
    """The record as HTML, as roomy as one page allows. `folder` holds the templates, `drawn` what the curve's needs."""
    return on_one_page(_drafts(folder, record, drawn))


def _drafts(folder: Path, record: FiringRecord, drawn: dict[str, Any]) -> Iterator[str]:
    for text_pt, most_events in ROOMY:
        told = replace(record, text_pt=text_pt, most_events=most_events)
        yield html(folder, "firing_record.html", record=told, **drawn)
