"""Crucible tags: each printed symbol is read back from the page by a decoder that is not ours."""

import random

import pypdfium2
import pytest
import zxingcpp

from bench.printing.paper import html, pdf
from bench.printing.sheets import Sheet, lay_out, load_sheets
from bench.printing.symbols import symbol
from bench.printing.tags import tag_layout, tag_pages
from bench.science.codes import BODIES, new_codes
from bench.science.refusal import Refusal
from bench.settings import asset_folder

LABELS = asset_folder("labels")
SHEETS = load_sheets(LABELS)


def some_codes(count: int, seed: int) -> list[str]:
    dice = random.Random(seed)
    return new_codes(count, lambda: dice.randrange(BODIES))


def printed(codes: list[str], sheet: Sheet, start: int = 1) -> bytes:
    return pdf(
        html(
            LABELS,
            "tags.html",
            title="Tags",
            sheet=sheet,
            pages=tag_pages(codes, sheet, start),
            layout=tag_layout(sheet),
        )
    )


@pytest.mark.parametrize("slug", list(SHEETS))
def test_every_tag_of_a_full_sheet_is_read_back(slug: str) -> None:
    sheet, codes = SHEETS[slug], some_codes(SHEETS[slug].places, 5)
    document = pypdfium2.PdfDocument(printed(codes, sheet))
    assert len(document) == 1
    picture = document[0].render(scale=300 / 72).to_pil().convert("L")
    assert picture.width == pytest.approx(sheet.page_width / 25.4 * 300, abs=2)
    read = zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)
    assert sorted(found.text for found in read) == sorted(codes * len(tag_layout(sheet).symbols))
    document.close()


@pytest.mark.parametrize("slug", list(SHEETS))
def test_each_symbol_stands_within_a_fifth_of_a_millimetre_and_its_quiet_zone_is_clear(slug: str) -> None:
    sheet = SHEETS[slug]
    layout, code = tag_layout(sheet), some_codes(1, 7)[0]
    document = pypdfium2.PdfDocument(printed([code], sheet))
    dots = 600 / 25.4
    picture = document[0].render(scale=600 / 72).to_pil().convert("L")
    document.close()
    size = symbol(code, sheet.symbol_version, sheet.dots_per_module)
    module = size.size_mm / size.modules
    for x, y in layout.symbols:
        left, top = sheet.left + x, sheet.top + y
        box = [round(v * dots) for v in (left, top, left + size.size_mm, top + size.size_mm)]
        dark = picture.crop(box).point(lambda value: 255 if value < 128 else 0).getbbox()
        assert dark is not None
        wanted = (4 * module, 4 * module, size.size_mm - 4 * module, size.size_mm - 4 * module)
        assert [v / dots for v in dark] == pytest.approx(wanted, abs=0.2)


def test_a_partly_used_sheet_begins_where_it_is_told_and_runs_over() -> None:
    sheet = SHEETS["a4-24"]
    pages = lay_out(sheet, list("abc"), start=23)
    assert [len(page) for page in pages] == [2, 1]
    assert (pages[0][0].left, pages[0][0].top) == sheet.corner(22)
    assert (pages[1][0].left, pages[1][0].top) == sheet.corner(0)
    with pytest.raises(Refusal) as refused:
        lay_out(sheet, list("a"), start=25)
    assert refused.value.field == "start"


@pytest.mark.parametrize("slug", list(SHEETS))
def test_labels_stay_on_their_page_and_off_each_other(slug: str) -> None:
    sheet = SHEETS[slug]
    assert sheet.across >= sheet.width and sheet.down >= sheet.height
    left, top = sheet.corner(sheet.places - 1)
    assert left + sheet.width <= sheet.page_width + 0.01
    assert top + sheet.height <= sheet.page_height + 0.01


def test_a_symbol_is_the_bare_code_in_whole_dots() -> None:
    made = symbol("T5C7HJ", version=2, dots_per_module=8)
    assert made.modules == 25 + 8
    assert made.size_mm == pytest.approx(22.4, abs=0.06)
    assert symbol("T5C7HJ", version=1, dots_per_module=7).size_mm == pytest.approx(17.2, abs=0.06)
