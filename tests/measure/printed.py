"""Measures a printed page as it comes out of the PDF: where its symbols stand, whether they read, where ink lies.

Needs the renderer and the decoder that the tests bring along (pypdfium2, zxing-cpp); `possible` says whether they are
here. Both are independent of what makes the page.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from importlib import import_module
from importlib.util import find_spec
from typing import Any

import numpy as np

from bench.printing.sheets import Sheet
from bench.printing.symbols import QUIET, Symbol

DPI, READ_DPI = 600, 300
MM_PER_INCH = 25.4
DARK = 128
RIM_MM = 0.1
"""So much of a symbol's rim may be grey from rendering, without being ink in the quiet zone."""


@dataclass(frozen=True)
class Stand:
    """Where a symbol ought to stand: its page, and its left top corner with the quiet zone, in mm."""

    page: int
    left: float
    top: float


@dataclass(frozen=True)
class Measured:
    """What a PDF shows. Lengths in mm: the worst error of any edge, the worst error of a side, the least margin of ink
    in its label, and how far from the edge of the page all ink is."""

    pages: int
    place_off: float
    size_off: float
    read: int
    symbols: int
    quiet: bool
    margin: float
    from_edge: float


def possible() -> bool:
    """Whether the renderer and the decoder are installed here."""
    return all(find_spec(name) is not None for name in ("pypdfium2", "zxingcpp"))


def pages_of(pdf: bytes, dpi: int = DPI) -> list[Any]:
    """Every page as a grey picture."""
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf)
    pictures = [page.render(scale=dpi / 72).to_pil().convert("L") for page in document]
    document.close()
    return pictures


def texts_on(pdf: bytes) -> list[str]:
    """What an independent decoder reads on all pages."""
    decoder: Any = import_module("zxingcpp")

    found: list[str] = []
    for picture in pages_of(pdf, READ_DPI):
        found += [each.text for each in decoder.read_barcodes(picture, formats=decoder.BarcodeFormat.QRCode)]
    return found


def measure(pdf: bytes, sheet: Sheet, stands: Sequence[Stand], symbol: Symbol, codes: Sequence[str]) -> Measured:
    """Measures every symbol of a PDF against where it ought to stand, and reads them all. `codes`: one a symbol."""
    inks = [np.asarray(picture) < DARK for picture in pages_of(pdf)]
    place_off, size_off, quiet = 0.0, 0.0, True
    module = symbol.size_mm / symbol.modules
    wanted = (QUIET * module, symbol.size_mm - QUIET * module)
    for stand in stands:
        box = _edges(inks[stand.page], stand, symbol.size_mm)
        if box is None:
            place_off, size_off = max(place_off, symbol.size_mm), max(size_off, symbol.size_mm)
            continue
        left, top, right, bottom = box
        place_off = max(place_off, *(abs(v - w) for v, w in zip(box, (wanted[0],) * 2 + (wanted[1],) * 2, strict=True)))
        side = wanted[1] - wanted[0]
        size_off = max(size_off, abs(right - left - side), abs(bottom - top - side))
        quiet &= min(left, top) > wanted[0] - RIM_MM and max(right, bottom) < wanted[1] + RIM_MM
    read = list(texts_on(pdf))
    right_ones = sum(min(read.count(code), codes.count(code)) for code in set(codes))
    margin = min((_margin(ink, sheet) for ink in inks), default=0.0)
    from_edge = min((_from_edge(ink) for ink in inks), default=0.0)
    return Measured(len(inks), place_off, size_off, right_ones, len(codes), quiet, margin, from_edge)


def _edges(ink: Any, stand: Stand, side_mm: float) -> tuple[float, float, float, float] | None:
    """Left, top, right and bottom of all ink where a symbol ought to stand, in mm from its corner."""
    dots = DPI / MM_PER_INCH
    x0, y0 = round(stand.left * dots), round(stand.top * dots)
    x1, y1 = round((stand.left + side_mm) * dots), round((stand.top + side_mm) * dots)
    ys, xs = np.nonzero(ink[max(y0, 0) : y1, max(x0, 0) : x1])
    if len(xs) == 0:
        return None
    shift_x, shift_y = max(x0, 0) / dots - stand.left, max(y0, 0) / dots - stand.top
    return (
        float(xs.min() / dots + shift_x),
        float(ys.min() / dots + shift_y),
        float((xs.max() + 1) / dots + shift_x),
        float((ys.max() + 1) / dots + shift_y),
    )


def _from_edge(ink: Any) -> float:
    """The least distance of any ink from the edge of its page."""
    rows, columns = np.nonzero(ink.any(axis=1))[0], np.nonzero(ink.any(axis=0))[0]
    if len(rows) == 0:
        return 0.0
    rims = (rows[0], columns[0], ink.shape[0] - 1 - rows[-1], ink.shape[1] - 1 - columns[-1])
    return float(min(rims)) / (DPI / MM_PER_INCH)


def _margin(ink: Any, sheet: Sheet) -> float:
    """The least distance of any ink to the edge of its label; below zero where ink lies outside every label."""
    dots = DPI / MM_PER_INCH
    left_over, least = ink.copy(), min(sheet.width, sheet.height)
    for place in range(sheet.places):
        x, y = sheet.corner(place)
        x0, x1 = max(round(x * dots), 0), round((x + sheet.width) * dots)
        y0, y1 = max(round(y * dots), 0), round((y + sheet.height) * dots)
        label = ink[y0:y1, x0:x1]
        ys, xs = np.nonzero(label)
        if len(xs):
            rims = (xs.min(), ys.min(), label.shape[1] - 1 - xs.max(), label.shape[0] - 1 - ys.max())
            least = min(least, float(min(rims)) / dots)
        left_over[y0:y1, x0:x1] = False
    return -1.0 if left_over.any() else float(least)
