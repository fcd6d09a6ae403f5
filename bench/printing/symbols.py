"""QR symbols as exact SVG: the bare code and nothing else, error correction H, a quiet zone of four modules."""

from dataclasses import dataclass
from functools import lru_cache

from qrcode.constants import ERROR_CORRECT_H, ERROR_CORRECT_L, ERROR_CORRECT_M
from qrcode.main import QRCode
from qrcode.util import MODE_ALPHA_NUM, QRData

DOTS_PER_MM = 300 / 25.4
QUIET = 4
MOST_AT_M = 15
"""Up to this version a long text is printed with error correction M, for dirt; above it with L, for larger modules."""
KEPT = 512
"""So many symbols are kept: what was shown is asked for again as PDF, and choosing the mask is slow."""
WIDE_MM, WIDER_MM, WIDER_FROM = 35.0, 45.0, 19
"""How wide a long text is printed. 35 mm was read at 150 dots an inch up to version 18, turned, blurred and noisy."""


@dataclass(frozen=True)
class Symbol:
    """A QR symbol. `modules` is its side in modules with the quiet zone; `size_mm` the same side on paper; `path` draws
    the dark modules in module units."""

    code: str
    modules: int
    size_mm: float
    path: str


@lru_cache(maxsize=KEPT)
def symbol(code: str, version: int = 2, dots_per_module: int = 8) -> Symbol:
    """The symbol of a code at a whole number of printer dots a module (300 dots an inch), so that edges stay sharp."""
    qr = QRCode(version=version, error_correction=ERROR_CORRECT_H, border=0)
    qr.add_data(code)
    qr.make(fit=False)
    rows = qr.get_matrix()
    side = len(rows) + 2 * QUIET
    return Symbol(code, side, side * dots_per_module / DOTS_PER_MM, _path(rows))


def long_symbol(text: str) -> Symbol:
    """The symbol of a long text in the characters that a symbol packs tightly: digits, capitals and ` $%*+-./:`."""
    qr = _packed(text, ERROR_CORRECT_M)
    if qr.version > MOST_AT_M:
        qr = _packed(text, ERROR_CORRECT_L)
    rows = qr.get_matrix()
    return Symbol(text, len(rows) + 2 * QUIET, WIDER_MM if qr.version >= WIDER_FROM else WIDE_MM, _path(rows))


def _packed(text: str, correction: int) -> QRCode:
    qr = QRCode(error_correction=correction, border=0)
    qr.add_data(QRData(text.encode(), mode=MODE_ALPHA_NUM))
    qr.make()
    return qr


def drawn(text: str) -> tuple[int, str]:
    """Any text as a symbol for a screen: its side in modules without the quiet zone, and the path of its dark modules.

    Error correction M: a screen is neither torn nor scorched. `path` counts the quiet zone of four modules in.
    """
    qr = QRCode(error_correction=ERROR_CORRECT_M, border=0)
    qr.add_data(text)
    qr.make()
    rows = qr.get_matrix()
    return len(rows), _path(rows)


def _path(rows: list[list[bool]]) -> str:
    """Runs of dark modules as rectangles: fewer edges than single squares, so no hairlines between them."""
    parts = []
    for y, row in enumerate(rows):
        x = 0
        while x < len(row):
            run = 0
            while x + run < len(row) and row[x + run]:
                run += 1
            if run:
                parts.append(f"M{x + QUIET} {y + QUIET}h{run}v1h-{run}z")
            x += max(run, 1)
    return "".join(parts)
