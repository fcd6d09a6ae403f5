"""The run sheet on paper: one page, the rows of `workshop/sheets.py`, room for a pencil."""

from dataclasses import dataclass

from bench.printing.symbols import Symbol, symbol
from bench.reckoning.rules import DEFER, cautions_for
from bench.workshop.sheets import Section

MOST_CAUTIONS = 3


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
        cautions=tuple(dict.fromkeys(said)),
        emergency=emergency,
    )
