"""`--print`: every size of label as its PDF shows it: position, size, pages, quiet zone, and what a decoder reads.

Tags and labels for jars, pigments and waste are set by the same two layouts as the screens use: a full sheet of each
size, and again from the last place of a used sheet, with an offset as a maker's printer may need it. Load cards, run
sheets and firing records are those of the demo data.
"""

from dataclasses import dataclass
from random import Random

from bench.printing.calibrating import moved
from bench.printing.jar_labels import JarLabel
from bench.printing.label_sheets import SIDE_MM, fitted, label_content, pads_mm
from bench.printing.paper import html, pdf
from bench.printing.sheets import Placed, Sheet, load_sheets
from bench.printing.symbols import Symbol, symbol
from bench.printing.tags import tag_layout, tag_pages
from bench.science.codes import BODIES, new_codes
from bench.settings import asset_folder
from tests.measure import print_sheets
from tests.measure.figure import Figure
from tests.measure.printed import Measured, Stand, measure, possible

NAME = "print"
GOAL_MM = 0.2
LEAST_MARGIN_MM = 0.5
OFFSET_MM = (0.8, -0.6)
SEED = 5


@dataclass(frozen=True)
class Printed:
    """A PDF with what it ought to show."""

    data: bytes
    stands: tuple[Stand, ...]
    symbol: Symbol
    codes: tuple[str, ...]


def some_codes(count: int, seed: int = SEED) -> list[str]:
    """True codes, the same for the same seed."""
    dice = Random(seed)
    return new_codes(count, lambda: dice.randrange(BODIES))


def printed_tags(sheet: Sheet, codes: list[str], start: int = 1) -> Printed:
    """A sheet of tags, with where each symbol ought to stand."""
    layout, pages = tag_layout(sheet), tag_pages(codes, sheet, start)
    page = html(asset_folder("labels"), "tags.html", title="Tags", sheet=sheet, pages=pages, layout=layout)
    stands = [
        Stand(number, placed.left + x, placed.top + y)
        for number, placed_ones in enumerate(pages)
        for placed in placed_ones
        for x, y in layout.symbols
    ]
    shown = symbol(codes[0], sheet.symbol_version, sheet.dots_per_module)
    return Printed(pdf(page), tuple(stands), shown, tuple(code for code in codes for _ in layout.symbols))


def plain_label(code: str) -> JarLabel:
    """The shortest label that a jar can have: of a salt that is not classified."""
    facts = ("opened 2026-03-01",)
    return JarLabel("Salt", "NaCl", facts, code, symbol(code, 1, 7), "", (), (), (), "")


def printed_labels(sheet: Sheet, labels: list[JarLabel], start: int = 1) -> Printed | None:
    """A sheet of labels, with where each symbol ought to stand; None where the text does not fit that size."""
    folder, sprite = asset_folder("labels"), asset_folder("static") / "icons" / "sprite.svg"
    labels, without = fitted(labels, sheet, start, folder, sprite)
    if without is not None:
        return None
    content = label_content(labels, sheet, start, sprite)
    page = html(folder, "jar_labels.html", **content)
    shown = labels[0].symbol
    assert shown is not None
    stands = [
        _of_label(sheet, number, placed, shown)
        for number, placed_ones in enumerate(content["pages"])
        for placed in placed_ones
    ]
    return Printed(pdf(page), tuple(stands), shown, tuple(label.code for label in labels))


def _of_label(sheet: Sheet, page: int, placed: Placed, shown: Symbol) -> Stand:
    above, right, _below, _left = pads_mm(sheet, placed.left, placed.top)
    inside = sheet.width - right - SIDE_MM + (SIDE_MM - shown.size_mm) / 2
    return Stand(page, placed.left + inside, placed.top + above)


def run(sizes: tuple[str, ...] = ()) -> list[Figure]:
    """Measures all sizes, or those named; about a minute."""
    if not possible():
        return [Figure("printed pages", 0, "pages", note="not possible here: pypdfium2 and zxing-cpp are missing")]
    figures: list[Figure] = []
    for slug, sheet in load_sheets(asset_folder("labels")).items():
        if not sizes or slug in sizes:
            figures += figures_of(slug, _of(sheet))
    return figures if sizes else figures + print_sheets.figures(GOAL_MM)


def _of(sheet: Sheet) -> list[tuple[Measured, int]]:
    """A full sheet of tags, one of labels where any fits, and both moved by an offset; each with its due pages."""
    found = []
    for each in (sheet, moved(sheet, *OFFSET_MM)):
        codes = some_codes(sheet.places)
        start = sheet.places if each is not sheet else 1
        due = 1 if start == 1 or sheet.places == 1 else 2
        made = [printed_tags(each, codes, start), printed_labels(each, [plain_label(c) for c in codes], start)]
        found += [(measured(one, each), due) for one in made if one is not None]
    return found


def measured(printed: Printed, sheet: Sheet) -> Measured:
    """What the PDF shows."""
    return measure(printed.data, sheet, printed.stands, printed.symbol, printed.codes)


def figures_of(slug: str, found: list[tuple[Measured, int]]) -> list[Figure]:
    """The figures of one size, in words."""
    symbols, read = sum(one.symbols for one, _ in found), sum(one.read for one, _ in found)
    faults = [one for one, due in found if not (one.pages == due and one.quiet and one.margin >= LEAST_MARGIN_MM)]
    least = min(one.margin for one, _ in found)
    kinds = "tags and labels" if len(found) > 2 else "tags; no label of a jar fits it"
    return [
        _within(f"{slug}: worst edge of {symbols} symbols", max(one.place_off for one, _ in found), kinds),
        _within(f"{slug}: worst side of a symbol", max(one.size_off for one, _ in found)),
        Figure(f"{slug}: symbols read", 100 * read / symbols, "%", "100", read == symbols),
        Figure(
            f"{slug}: pages, quiet zones or margins that are wrong",
            len(faults),
            "",
            "0",
            not faults,
            f"least margin of ink {least:.2f} mm",
        ),
    ]


def _within(name: str, off_mm: float, note: str = "") -> Figure:
    return Figure(name, off_mm, "mm", f"at most {GOAL_MM:g}", off_mm <= GOAL_MM, note)
