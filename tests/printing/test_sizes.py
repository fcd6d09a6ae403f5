"""Every size of label as its PDF shows it, within a fifth of a millimetre: labels, used sheets, an offset."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from pypdfium2 import PdfDocument
from pypdfium2.raw import FPDF_PAGEOBJ_TEXT

from bench.printing.calibrating import ARM_MM, FIGURE_MM, REACH_MM, calibration, moved
from bench.printing.paper import html, pdf
from bench.printing.sheets import Sheet, load_sheets
from bench.printing.tags import MM_PER_PT, Tag, tag_layout
from bench.settings import asset_folder
from tests.measure.print import GOAL_MM, measured, plain_label, printed_labels, printed_tags, run, some_codes
from tests.measure.printed import DPI, MM_PER_INCH, pages_of
from tests.measure.printed_page import lines_on, overlaps

LABELS = asset_folder("labels")
SHEETS = load_sheets(LABELS)
NO_LABEL = {"tag-18"}
"""Where not even the shortest label of a jar fits: these are for tags."""
DOTS = DPI / MM_PER_INCH
EDGE_SLACK_MM = 0.1


@pytest.mark.parametrize("slug", list(SHEETS))
def test_a_full_sheet_of_labels_stands_reads_and_keeps_its_margins(slug: str) -> None:
    sheet, codes = SHEETS[slug], some_codes(SHEETS[slug].places)
    printed = printed_labels(sheet, [plain_label(code) for code in codes])
    if slug in NO_LABEL:
        assert printed is None
        return
    assert printed is not None, "no label of a jar fits: make it larger, or name it in NO_LABEL"
    assert len(printed.stands) == sheet.places
    found = measured(printed, sheet)
    assert found.place_off <= GOAL_MM and found.size_off <= GOAL_MM
    assert (found.pages, found.read, found.quiet) == (1, sheet.places, True)
    assert found.margin >= 2.0 and found.from_edge >= sheet.reach_mm - EDGE_SLACK_MM


@pytest.mark.parametrize("slug", list(SHEETS))
def test_a_used_sheet_with_the_printer_s_offset_runs_over_where_it_should(slug: str) -> None:
    sheet = moved(SHEETS[slug], 0.7, -0.4)
    found = measured(printed_tags(sheet, some_codes(2), start=sheet.places), sheet)
    assert found.pages == 2 and found.read == found.symbols and found.quiet
    assert found.place_off <= GOAL_MM and found.size_off <= GOAL_MM


def test_an_offset_that_is_not_applied_would_be_seen() -> None:
    """The measuring itself: a sheet that is half a millimetre off is found to be, and so is ink off its label."""
    sheet = SHEETS["a4-24"]
    printed = printed_tags(moved(sheet, 0.5, 0.0), some_codes(1))
    straight = printed_tags(sheet, some_codes(1))
    found = measured(printed.__class__(printed.data, straight.stands, straight.symbol, straight.codes), sheet)
    assert found.place_off == pytest.approx(0.5, abs=0.05)
    assert measured(printed_tags(moved(sheet, 40.0, 0.0), some_codes(1)), sheet).margin < 0.5


def test_the_whole_measurement_meets_its_goals_for_one_size() -> None:
    figures = run(("roll-50",))
    assert len(figures) == 4 and all(figure.met for figure in figures), figures


def ink_of(sheet: Sheet, right_mm: float = 0.0, down_mm: float = 0.0) -> Any:
    """The dark dots of a calibration page."""
    (picture,) = pages_of(calibration_page(sheet, right_mm, down_mm))
    return np.asarray(picture) < 128


def calibration_page(sheet: Sheet, right_mm: float = 0.0, down_mm: float = 0.0) -> bytes:
    made = calibration(sheet, right_mm, down_mm)
    more = {"arm": ARM_MM, "figure": FIGURE_MM, "right_mm": right_mm, "down_mm": down_mm}
    return pdf(html(LABELS, "calibration.html", title="Calibration", sheet=sheet, page=made, **more))


@pytest.mark.parametrize("slug", list(SHEETS))
def test_no_number_of_a_ruler_is_cut_by_the_page_or_lies_over_another(slug: str) -> None:
    sheet = SHEETS[slug]
    lines = lines_on(calibration_page(sheet, 0.8, -0.6))
    small = [line.words for line in lines if line.box.bottom - line.box.top < FIGURE_MM]
    edges = (sheet.left, sheet.left + sheet.width), (sheet.top, sheet.top + sheet.height)
    lengths = sheet.page_width, sheet.page_height
    due = [
        f"{at:+d}" if at else "0"
        for both, length in zip(edges, lengths, strict=True)
        for edge in both
        for at in (-4, -2, 0, 2, 4)
        if 0 <= edge + at <= length
    ]
    assert sorted("".join(small).replace(" ", "")) == sorted("".join(due))
    assert overlaps(lines, [], lengths) == []


def middle(line: Any) -> float:
    """The middle of the dark dots of a row or column, in mm from its beginning."""
    dark = np.nonzero(line)[0]
    assert len(dark)
    return float((dark.min() + dark.max() + 1) / 2 / DOTS)


def cross_at(ink: Any, x: float, y: float) -> tuple[float, float]:
    """Where the cross near (x, y) is: its upright is looked for above its middle, its bar beside it."""
    window = 1.0
    row = ink[round((y + 2) * DOTS), round((x - window) * DOTS) : round((x + window) * DOTS)]
    column = ink[round((y - window) * DOTS) : round((y + window) * DOTS), round((x + 2) * DOTS)]
    return x - window + middle(row), y - window + middle(column)


@pytest.mark.parametrize("slug", [slug for slug, sheet in SHEETS.items() if sheet.places > 1])
def test_the_crosses_of_the_calibration_page_stand_on_the_corners_moved_by_the_offset(slug: str) -> None:
    sheet, offset = SHEETS[slug], (0.8, -0.6)
    ink = ink_of(sheet, *offset)
    assert ink.shape == pytest.approx((sheet.page_height * DOTS, sheet.page_width * DOTS), abs=2)
    place = sheet.columns + 1  # inside the page, whatever its margins
    x, y = (v + by for v, by in zip(sheet.corner(place), offset, strict=True))
    assert cross_at(ink, x, y) == pytest.approx((x, y), abs=GOAL_MM)


@pytest.mark.parametrize("offset", [(0.0, 0.0), (1.5, 2.5)])
def test_the_rulers_never_move_and_are_true_to_length(offset: tuple[float, float]) -> None:
    sheet = SHEETS["a4-21"]
    ink, middle_y = ink_of(sheet, *offset), sheet.top + sheet.height / 2
    row = ink[round((middle_y - 1) * DOTS)]
    left = row[: round((sheet.left + 10) * DOTS)]
    starts = (np.nonzero(np.diff(left.astype(int)) == 1)[0] + 1) / DOTS
    assert len(starts) == 2 * 2 * REACH_MM + 1
    assert starts[0] == pytest.approx(sheet.left - REACH_MM, abs=GOAL_MM)
    assert starts[-1] == pytest.approx(sheet.left + REACH_MM, abs=GOAL_MM)
    zero = ink[round((middle_y - 3.8) * DOTS), : round((sheet.left + 10) * DOTS)]
    assert middle(zero) == pytest.approx(sheet.left, abs=GOAL_MM)  # only the mark for nothing is so long


@pytest.mark.parametrize("slug", list(SHEETS))
def test_the_widest_letters_stay_inside_their_tag(slug: str) -> None:
    sheet = SHEETS[slug]
    printed = printed_tags(sheet, ["MWWMWM"])
    assert Tag("MWWMWM", printed.symbol).pt(tag_layout(sheet)) * MM_PER_PT > 1.5
    assert measured(printed, sheet).margin >= 0.5


@pytest.mark.parametrize("slug", [slug for slug, sheet in SHEETS.items() if sheet.reach_mm > min(sheet.edges)])
def test_a_full_sheet_of_tags_stays_where_a_printer_reaches(slug: str) -> None:
    found = measured(printed_tags(SHEETS[slug], some_codes(SHEETS[slug].places)), SHEETS[slug])
    assert found.from_edge >= SHEETS[slug].reach_mm - EDGE_SLACK_MM and found.read == found.symbols


def letters_pt(data: bytes) -> dict[str, float]:
    """The size in which each text of a PDF is set, in points."""
    (page,) = PdfDocument(data)
    texts = page.get_objects([FPDF_PAGEOBJ_TEXT], textpage=page.get_textpage())
    return {one.extract(): one.get_font_size() * abs(one.get_matrix().d) for one in texts}


@pytest.mark.parametrize("slug", ["a4-2", "letter-2"])
def test_what_harms_is_read_across_a_room_on_waste_and_nothing_is_below_8_pt(slug: str) -> None:
    harms = tuple((f"H30{n}", "Harmful where it is swallowed") for n in range(6))
    cares = tuple((f"P26{n}", "Wash hands and face thoroughly after handling this") for n in range(10))
    label = replace(plain_label("T5C7HJ"), band="Hazardous waste", statements=harms, precautions=cares)
    printed = printed_labels(SHEETS[slug], [label])
    assert printed is not None
    found = letters_pt(printed.data)
    assert min(found.values()) > 7.99
    assert min(size for text, size in found.items() if "H30" in text or "swallowed" in text) > 11.99
