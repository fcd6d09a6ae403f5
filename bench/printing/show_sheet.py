"""Swatches to show: one page, laid out by `labels/show.html`, and the same page as a picture."""

import io
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from bench.printing.batch_record import NOT_TRUE
from bench.printing.fitting import on_one_page
from bench.printing.paper import html, pdf
from bench.printing.symbols import Symbol, long_symbol
from bench.science.refusal import Refusal
from bench.translation import _

ROOMY = (10.0, 9.0, 8.0, 7.0, 6.2)
PICTURE_DPI, PREVIEW_DPI = 150, 90
NO_CURVE: dict[str, Any] = {"c": None, "title": "", "wide_mm": 0.0}


@dataclass(frozen=True)
class Shown:
    """One swatch: its fill and that of its tint, empty where nothing was measured; else its photo as a `data:` address;
    its name and words."""

    name: str
    fill: str
    tint: str
    lines: tuple[str, ...]
    photo: str = ""


@dataclass(frozen=True)
class ShowSheet:
    """The page. `recipe` are rows of (reagent, amount); `safety` stays on it whatever is hidden; `code` is the text of
    the recipe's symbol, or nothing."""

    title: str
    words: str
    swatches: tuple[Shown, ...]
    recipe_of: str
    recipe: tuple[tuple[str, str], ...]
    heat: tuple[str, ...]
    safety: tuple[str, ...]
    notes: tuple[str, ...]
    code: str = ""
    text_pt: float = ROOMY[0]

    @property
    def symbol(self) -> Symbol | None:
        return long_symbol(self.code) if self.code else None


def show_page(folder: Path, sheet: ShowSheet, drawn: dict[str, Any]) -> str:
    """The page as HTML, with the largest letters with which it is one page. `drawn`: the curve, or `NO_CURVE`."""
    return on_one_page(_drafts(folder, sheet, drawn))


def _drafts(folder: Path, sheet: ShowSheet, drawn: dict[str, Any]) -> Iterator[str]:
    for text_pt in ROOMY:
        yield html(folder, "show.html", sheet=replace(sheet, text_pt=text_pt), not_true=NOT_TRUE, **drawn)


def as_picture(page: str, dpi: int) -> bytes:
    """The first page of some HTML as PNG. Refusal where this computer cannot set a page."""
    try:
        import pypdfium2
    except (ImportError, OSError):
        raise Refusal(_("This computer cannot make a picture of a page. Make the PDF instead.")) from None
    kept = io.BytesIO()
    document = pypdfium2.PdfDocument(pdf(page))
    try:
        document[0].render(scale=dpi / 72).to_pil().convert("RGB").save(kept, "PNG", optimize=True)
    finally:
        document.close()
    return kept.getvalue()
