"""Crucible tags: bare, because a tag outlives what the crucible holds. The code twice as a symbol and once in words."""

from dataclasses import dataclass

from bench.printing.sheets import Placed, Sheet, lay_out
from bench.printing.symbols import Symbol, symbol


@dataclass(frozen=True)
class Tag:
    """One tag: its code as a person reads it, and its symbol."""

    code: str
    symbol: Symbol

    @property
    def words(self) -> str:
        return f"{self.code[:5]}-{self.code[5:]}"


def tag_pages(codes: list[str], sheet: Sheet, start: int = 1) -> list[list[Placed]]:
    """Pages of tags for some codes, one tag a code, in their order."""
    tags: list[object] = [Tag(code, symbol(code, sheet.symbol_version, sheet.dots_per_module)) for code in codes]
    return lay_out(sheet, tags, start)
