"""A batch's record on two pages: what was planned and done, then the firing that was hottest."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from bench.printing.firing_record import FiringRecord, Told, in_short
from bench.printing.fitting import on_one_page
from bench.printing.paper import html
from bench.translation import _

ROOMY = ((9.4, 40, 24), (8.4, 40, 24), (7.6, 40, 24), (7.0, 40, 16), (6.4, 30, 12), (6.0, 20, 8), (5.6, 12, 6))
"""Letters in points, and the most lines that tell what was done, on this page and on that of the firing."""
NOT_TRUE = _("Printed patches are not colour-true. The box beside each is for a paint-out.")
NO_FIRING: dict[str, Any] = {"text_pt": ROOMY[0][0], "words": "", "floors": ()}


@dataclass(frozen=True)
class Patch:
    """A swatch on paper: its fill as a screen has it, empty where nothing was measured, and its words."""

    fill: str
    words: str


@dataclass(frozen=True)
class BatchRecord(Told):
    """The first page. `lines` are the rows of the reagents; `facts` pairs of words; `all_events` (when, what)."""

    title: str
    code: str
    head: tuple[str, ...]
    lines: tuple[tuple[str, ...], ...]
    facts: tuple[tuple[str, str], ...]
    all_events: tuple[tuple[str, str], ...]
    corrections: tuple[str, ...]
    patches: tuple[Patch, ...]
    verdicts: tuple[str, ...]
    sources: str
    foot: str
    most_events: int = ROOMY[0][1]

    @property
    def events(self) -> Sequence[tuple[str, str]]:
        return in_short(self.all_events[: self.most_events])


def batch_record_page(folder: Path, made: BatchRecord, fire: FiringRecord | None, drawn: dict[str, Any]) -> str:
    """Both pages as HTML, as large as two pages allow; one page where it was never fired."""
    return on_one_page(_drafts(folder, made, fire, drawn), 1 if fire is None else 2)


def _drafts(folder: Path, made: BatchRecord, fire: FiringRecord | None, drawn: dict[str, Any]) -> Iterator[str]:
    for text_pt, own, of_fire in ROOMY:
        told: Any = NO_FIRING | {"text_pt": text_pt}
        if fire is not None:
            told = replace(fire, text_pt=text_pt, most_events=of_fire)
        yield html(
            folder, "batch_record.html", made=replace(made, most_events=own), record=told, fired=fire is not None,
            not_true=NOT_TRUE, **drawn,
        )  # fmt: skip
