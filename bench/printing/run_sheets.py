"""The run sheet on paper: one page, the rows of `workshop/sheets.py`, room for a pencil.

Its letters and gaps are the largest with which it is one page; where even the smallest are not enough, as for a full
furnace of many crucibles, it runs on, and each page says which it is.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from bench.printing.fitting import on_one_page
from bench.printing.paper import html
from bench.printing.symbols import Symbol, symbol
from bench.reckoning.rules import DEFER, cautions_for
from bench.workshop.sheets import Section

MOST_CAUTIONS = 3
ROOMY = ((9.5, 3.0, 2.2, 4.4), (9.0, 2.4, 1.5, 4.4), (8.5, 1.8, 1.0, 4.2), (8.0, 1.2, 0.5, 4.2), (7.4, 0.8, 0.5, 4.0))
"""Letters in points; the gap before a heading, that before a row, and the height of a line to write on, in mm."""


@dataclass(frozen=True)
class RunSheet:
    """What a run sheet says beside its rows."""

    title: str
    code: str
    symbol: Symbol | None
    sections: tuple[Section, ...]
    cautions: tuple[str, ...]
    emergency: str
    defer: str = DEFER

    @property
    def words(self) -> str:
        return f"{self.code[:5]}-{self.code[5:]}" if len(self.code) == 6 else ""


def run_sheet(
    title: str, code: str | None, sections: list[Section], steps: tuple[str, ...], emergency: str
) -> RunSheet:
    """The printed sheet of a batch or firing, with the first cautions of each of its steps."""
    said = [c.say for step in steps for c in cautions_for(step)[:MOST_CAUTIONS]]
    return RunSheet(
        title=title,
        code=code or "",
        symbol=symbol(code, 1, 7) if code else None,
        sections=tuple(sections),
        cautions=tuple(dict.fromkeys(map(str, said))),
        emergency=emergency,
    )


def run_sheet_page(folder: Path, sheet: RunSheet) -> str:
    """The sheet as HTML, as roomy as one page allows. `folder` holds the templates."""
    return on_one_page(_drafts(folder, sheet))


def _drafts(folder: Path, sheet: RunSheet) -> Iterator[str]:
    for text_pt, gap_mm, pad_mm, line_mm in ROOMY:
        room = {"text_pt": text_pt, "gap_mm": gap_mm, "pad_mm": pad_mm, "line_mm": line_mm}
        yield html(folder, "run_sheet.html", sheet=sheet, **room)
