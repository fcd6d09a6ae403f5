"""The larger pages of `--print`: load cards, run sheets and firing records of the demo data, as their PDFs show them.

Each is asked for as a browser asks for it, and measured: how many pages, where its code, its boxes and its cutting
lines stand, whether the code reads, and whether any word lies over another, half over a box, or off the page.
"""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from flask import Flask

from bench.app import create_app
from bench.demo import fill
from bench.printing.card_sheets import CARDS, CODE_MM, COOL_MM, PAD_MM
from bench.printing.fitting import places_mm
from bench.printing.sheets import Sheet
from bench.printing.symbols import symbol
from bench.settings import Settings
from tests.measure.figure import Figure
from tests.measure.printed import Stand, measure
from tests.measure.printed_page import Box, edges_off, inks_of, lines_on, overlaps

A4_MM = (210.0, 297.0)
MARGIN_MM = (10.0, 9.0)
"""From the right and top edges of a run sheet or a firing record to the quiet zone of its code."""
SIDE_MM = symbol("00000", CARDS.symbol_version, CARDS.dots_per_module).size_mm
TICK_MM = 3.2
WHOLE = Sheet("a4", "A4", *A4_MM, 1, 1, 0.0, 0.0, *A4_MM, *A4_MM, 1, 7)


@dataclass(frozen=True)
class Page:
    """What a PDF shows: its pages, the worst edges of codes and of boxes in mm, codes not read, what lies wrong."""

    pages: int
    code_off: float
    box_off: float
    boxes: int
    unread: int
    wrong: tuple[str, ...]


def measured_page(data: bytes, made: str, codes: list[str], stands: list[Box], *, cut: list[Box] | None = None) -> Page:
    """Measures a PDF. `made`: its HTML, which says where its boxes ought to be; `cut`: boxes with lines for a rim."""
    inks, ticks = inks_of(data), boxes_of(made, "box")
    solid = boxes_of(made, "cool")
    code_off, unread = 0.0, 0
    if codes:
        places = [Stand(box.page, box.left, box.top) for box in stands]
        found = measure(data, WHOLE, places, symbol(codes[0], 1, 7), codes)
        unread = len(codes) - found.read
        code_off = max(found.place_off, found.size_off, 0.0 if found.quiet else SIDE_MM)
    offs = [edges_off(inks, box) for box in (*ticks, *solid)]
    offs += [edges_off(inks, box, line=True) for box in cut or []]
    offs += [abs(side - TICK_MM) for box in ticks for side in (box.right - box.left, box.bottom - box.top)]
    wrong = overlaps(lines_on(data), [*ticks, *solid, *stands], A4_MM)
    return Page(len(inks), code_off, max(offs, default=0.0), len(offs), unread, tuple(wrong))


def boxes_of(made: str, mark: str) -> list[Box]:
    """Where the elements of a class are set."""
    return [Box(at.page, at.left, at.top, at.left + at.width, at.top + at.height) for at in places_mm(made, mark)]


def card_boxes(count: int) -> tuple[list[Box], list[Box], list[Box]]:
    """Where the codes, the black boxes and the cutting lines of so many load cards ought to be."""
    codes, cools, cuts = [], [], []
    for n in range(count):
        page, place = divmod(n, CARDS.places)
        left, top = CARDS.corner(place)
        right, bottom = left + CARDS.width, top + CARDS.height
        inner = right - CODE_MM
        codes.append(Box(page, inner - SIDE_MM, top + CODE_MM, inner, top + CODE_MM + SIDE_MM))
        foot = bottom - PAD_MM
        cools.append(Box(page, left + PAD_MM, foot - COOL_MM[1], left + PAD_MM + COOL_MM[0], foot))
        cuts.append(Box(page, left, top, right, bottom))
    return codes, cools, cuts


def corner_box() -> Box:
    """Where the code of a run sheet or a firing record ought to be."""
    right, top = A4_MM[0] - MARGIN_MM[0], MARGIN_MM[1]
    return Box(0, right - SIDE_MM, top, right, top + SIDE_MM)


def page_at(app: Flask, path: str, codes: list[str]) -> Page:
    """Measures a run sheet or a firing record at its address."""
    made, data = _both(app, path)
    return measured_page(data, made, codes, [corner_box() for _ in codes])


def cards_at(app: Flask, path: str, codes: list[str]) -> Page:
    """Measures the load cards at their address."""
    made, data = _both(app, path)
    stands, cools, cuts = card_boxes(len(codes))
    found = measured_page(data, made, codes, stands, cut=cuts)
    moved = max(
        abs(one - two)
        for a, b in zip(boxes_of(made, "cool"), cools, strict=True)
        for one, two in zip((a.left, a.top, a.right, a.bottom), (b.left, b.top, b.right, b.bottom), strict=True)
    )
    return Page(found.pages, found.code_off, max(found.box_off, moved), found.boxes, found.unread, found.wrong)


def _both(app: Flask, path: str) -> tuple[str, bytes]:
    client = app.test_client()
    shown, data = client.get(path), client.get(path + "?pdf=1")
    assert shown.status_code == data.status_code == 200, (path, shown.status_code, data.status_code)
    page, _, _keys = shown.get_data(as_text=True).partition('<aside class="paper-keys"')
    return re.sub(r"<link[^>]*>", "", page), data.data


@contextmanager
def demo_bench() -> Iterator[Flask]:
    """A throwaway bench with the demo data."""
    with TemporaryDirectory() as folder:
        app = create_app(Settings(data=Path(folder) / "data", open_browser=False, plain=True))
        try:
            fill(app.extensions["bench"])
            yield app
        finally:
            app.extensions["bench"].journal.close()


def pages_of_demo(app: Flask) -> dict[str, list[Page]]:
    """The load cards, and the run sheets and records of the first and the last of the batches and firings."""
    state = app.extensions["bench"].state
    charges = [code for t in state.open_things("charge") if (code := _crucible_code(app, t))]
    found = {"load cards": [cards_at(app, "/print/load-cards", charges)]}
    for name, what, path in (
        ("run sheets of batches", "batch", "/print/sheet/batch/"),
        ("run sheets of firings", "firing", "/print/sheet/firing/"),
        ("firing records", "firing", "/print/record/firing/"),
    ):
        found[name] = [page_at(app, path + t, [c] if (c := state.code_of(t)) else []) for t in few(state.things(what))]
    return found


def few(things: list[str]) -> list[str]:
    """The first and the last."""
    return list(dict.fromkeys([*things[:1], *things[-1:]]))


def _crucible_code(app: Flask, thing: str) -> str | None:
    state = app.extensions["bench"].state
    found: str | None = state.code_of(state.slot(thing, "charged").body.crucible)
    return found


def figures(goal_mm: float) -> list[Figure]:
    """The figures of every sort of page, in words; half a minute."""
    with demo_bench() as app:
        found = pages_of_demo(app)
    made: list[Figure] = []
    for name, pages in found.items():
        code, box = max(p.code_off for p in pages), max(p.box_off for p in pages)
        boxes = sum(p.boxes for p in pages)
        wrong = [*(w for p in pages for w in p.wrong), *("a second page" for p in pages if p.pages != 1)]
        wrong += ["a code that does not read" for p in pages for _ in range(p.unread)]
        goal = f"at most {goal_mm:g}"
        made.append(Figure(f"{name}: worst edge of a code", code, "mm", goal, code <= goal_mm, f"of {len(pages)}"))
        if boxes:
            made.append(Figure(f"{name}: worst edge of a box", box, "mm", goal, box <= goal_mm, f"of {boxes}"))
        made.append(Figure(f"{name}: faults", len(wrong), "", "0", not wrong, "; ".join(wrong[:3])))
    return made
