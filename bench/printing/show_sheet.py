"""Swatches to show: one page, laid out by `labels/show.html`, or one picture, drawn here."""

import io
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

from bench.printing.fitting import on_one_page
from bench.printing.paper import html
from bench.printing.symbols import alphanumeric

NOT_TRUE = "Printed and shown patches are not colour-true. The dashed box is for a paint-out."
ROOMY = (10.0, 9.0, 8.0, 7.0, 6.2)
FACES = (
    "DejaVuSans.ttf",
    "Roboto-Regular.ttf",
    "arial.ttf",
    "Arial.ttf",
    "LiberationSans-Regular.ttf",
    "Helvetica.ttc",
)
WIDE_PX, EDGE_PX, PATCH_PX = 1080, 60, 300
WIDEST_VERSION = 18
"""A code of more modules than this version is printed wider, so that a 150 dpi printer still shows it."""


@dataclass(frozen=True)
class Shown:
    """One swatch: its fill and that of its tint, empty where nothing was measured; its name and words."""

    name: str
    fill: str
    tint: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class ShowSheet:
    """The page. `recipe` are rows of (reagent, amount); `safety` stays on it whatever is hidden; `code` is the text of
    the recipe's QR code, or nothing."""

    title: str
    swatches: tuple[Shown, ...]
    recipe: tuple[tuple[str, str], ...]
    heat: tuple[str, ...]
    safety: tuple[str, ...]
    notes: tuple[str, ...]
    code: str = ""
    text_pt: float = ROOMY[0]


def show_page(folder: Path, sheet: ShowSheet) -> str:
    """The page as HTML, with the largest letters with which it is one page."""
    return on_one_page(_drafts(folder, sheet))


def _drafts(folder: Path, sheet: ShowSheet) -> Iterator[str]:
    symbol = alphanumeric(sheet.code) if sheet.code else None
    wide_mm = 0.0 if symbol is None else 45.0 if symbol.version > WIDEST_VERSION else 35.0
    for text_pt in ROOMY:
        told = replace(sheet, text_pt=text_pt)
        yield html(folder, "show.html", sheet=told, symbol=symbol, code_mm=wide_mm, not_true=NOT_TRUE)


def picture(sheet: ShowSheet) -> bytes:
    """The same as a picture, PNG: patches with their names and words, the recipe, the heat, what to mind."""
    from PIL import Image, ImageDraw

    rows = _rows(sheet)
    high = EDGE_PX * 2 + 90 + sum(row[0] for row in rows)
    image = Image.new("RGB", (WIDE_PX, high), "#f5f0e6")
    draw = ImageDraw.Draw(image)
    draw.text((EDGE_PX, EDGE_PX), plain(sheet.title), font=_font(48), fill="#1c1a17")
    at = EDGE_PX + 90
    for height, patch, text, size in rows:
        if patch is not None:
            _patch(draw, at, patch)
        for n, line in enumerate(text):
            left = EDGE_PX + (PATCH_PX + 40 if patch is not None else 0)
            draw.text((left, at + n * (size + 12)), line, font=_font(size), fill="#1c1a17")
        at += height
    kept = io.BytesIO()
    image.save(kept, "PNG", optimize=True)
    return kept.getvalue()


def _rows(sheet: ShowSheet) -> list[tuple[int, Shown | None, list[str], int]]:
    """Each part of the picture: its height, its swatch if it is one, its lines, and their size."""
    found: list[tuple[int, Shown | None, list[str], int]] = []
    for one in sheet.swatches:
        lines = [*_wrapped(one.name, 34), *(part for line in one.lines for part in _wrapped(line, 40))]
        found.append((max(PATCH_PX + 40, 44 * len(lines) + 30), one, lines, 32))
    groups = (
        [f"{what}: {amount}" if amount else what for what, amount in sheet.recipe],
        list(sheet.heat),
        [*sheet.safety, *sheet.notes, NOT_TRUE],
    )
    for texts, size, wide in zip(groups, (32, 32, 24), (52, 52, 74), strict=True):
        lines = [part for text in texts for part in _wrapped(text, wide)]
        if lines:
            found.append(((size + 12) * len(lines) + 30, None, lines, size))
    return found


def _wrapped(text: str, most: int) -> list[str]:
    import textwrap

    return textwrap.wrap(plain(text), most) or [""]


def _patch(draw: Any, at: int, one: Shown) -> None:
    right = EDGE_PX + PATCH_PX
    if not one.fill:
        draw.rectangle((EDGE_PX, at, right, at + PATCH_PX), outline="#1c1a17", width=3)
        return
    split = at + (PATCH_PX * 2 // 3 if one.tint else PATCH_PX)
    draw.rectangle((EDGE_PX, at, right, split), fill=one.fill)
    if one.tint:
        draw.rectangle((EDGE_PX, split, right, at + PATCH_PX), fill=one.tint)


@cache
def _face() -> str | None:
    """A face of this system that has more than plain letters, or None."""
    from PIL import ImageFont

    for name in FACES:
        try:
            ImageFont.truetype(name, 20)
        except OSError:
            continue
        return name
    return None


@cache
def _font(size: int) -> Any:
    from PIL import ImageFont

    face = _face()
    return ImageFont.truetype(face, size) if face else ImageFont.load_default(size)


def plain(text: str) -> str:
    """The text as the face at hand can draw it: without a face of the system, plain letters alone."""
    if _face():
        return text
    return unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode()
