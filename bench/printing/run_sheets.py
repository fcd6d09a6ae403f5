"""The run sheet on paper: one page, the rows of `workshop/sheets.py`, room for a pencil.

Its letters and gaps are the largest with which it is one page; the table of the load gives way to that, since its
crucibles have rows of their own. Where even that is not enough, as for a full
furnace of many crucibles, it runs on, and each page says which it is.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from bench.printing.fitting import on_one_page
from bench.printing.paper import html
from bench.printing.sheet_head import SheetHead
from bench.printing.symbols import Symbol, symbol
from bench.reckoning.rules import DEFER, cautions_for
from bench.workshop.sheets import Section

MOST_CAUTIONS = 3
ROOMY = ((10.5, 4.0, 3.0, 5.6), (9.5, 3.0, 2.2, 4.4))
CLOSE = ((9.0, 2.4, 1.5, 4.4), (8.0, 1.2, 0.5, 4.2), (7.4, 0.8, 0.5, 4.0), (6.6, 0.3, 0.0, 3.2))
"""Letters in points; the gap before a heading, that before a row, and the height of a line to write on, in mm."""

PROMPT_PT, PROMPT = 7.4, 0.78
"""Letters of what stands before and behind a blank: smaller than the rest, so that what is written stands out."""
WRITTEN_MM, CLOSE_MM = 18.0, 14.0
"""How long a blank for a figure is, where letters are large and where they are small."""


@dataclass(frozen=True)
class RunSheet:
    """What a run sheet says beside its rows."""

    title: str
    code: str
    symbol: Symbol | None
    sections: tuple[Section, ...]
    cautions: tuple[str, ...]
    emergency: str
    head: SheetHead = field(default_factory=SheetHead)
    defer: str = DEFER

    @property
    def words(self) -> str:
        return f"{self.code[:5]}-{self.code[5:]}" if len(self.code) == 6 else ""


def run_sheet(
    title: str,
    code: str | None,
    sections: list[Section],
    steps: tuple[str, ...],
    emergency: str,
    head: SheetHead,
    fuel: str = "any",
) -> RunSheet:
    """The printed sheet of a batch or firing, with its first cautions at a furnace of this fuel."""
    said = [c.say for step in steps for c in cautions_for(step, fuel)[:MOST_CAUTIONS]]
    return RunSheet(
        title=title,
        code=code or "",
        symbol=symbol(code, 1, 7) if code else None,
        sections=tuple(sections),
        cautions=tuple(dict.fromkeys(map(str, said))),
        emergency=emergency,
        head=head,
    )


def run_sheet_page(folder: Path, sheet: RunSheet) -> str:
    """The sheet as HTML, as roomy as one page allows. `folder` holds the templates."""
    return on_one_page(_drafts(folder, sheet))


def _drafts(folder: Path, sheet: RunSheet) -> Iterator[str]:
    rooms = ROOMY[sheet.head.schedule != () :] + CLOSE  # a firing never has room for the largest letters
    for with_load, (text_pt, gap_mm, pad_mm, line_mm) in [*((True, one) for one in rooms), (False, CLOSE[-1])]:
        room = {"text_pt": text_pt, "gap_mm": gap_mm, "pad_mm": pad_mm, "line_mm": line_mm}
        room["prompt_pt"] = min(text_pt, max(PROMPT_PT, text_pt * PROMPT))
        room["blank_mm"] = WRITTEN_MM if text_pt >= ROOMY[-1][0] else CLOSE_MM
        yield html(folder, "run_sheet.html", sheet=sheet, with_load=with_load, **room)
