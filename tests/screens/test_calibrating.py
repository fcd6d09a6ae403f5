"""Setting the printer: the offset of each sheet is a record, and every sheet is printed with it from then on."""

import re
from functools import cache

import numpy as np
import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.demo import fill
from bench.printing.sheets import load_sheets
from bench.printing.symbols import QUIET
from bench.printing.tags import tag_layout
from bench.records.record import BENCH
from bench.settings import asset_folder
from tests.measure.printed import DPI, MM_PER_INCH, pages_of, texts_on

SHEETS = load_sheets(asset_folder("labels"))
SOME = ("tag-18", "a4-40", "roll-50", "a4-2")
"""The least size and the greatest, and two between."""
OFFSET = {"sheet": "a4-21", "right_mm": "0.8", "down_mm": "-0.6"}


def first_symbol(client: FlaskClient, code: str, sheet: str) -> tuple[float, float]:
    """Where the first symbol's ink begins on a sheet of tags, in mm from the page's corner."""
    data = client.get(f"/print/tags?code={code}&sheet={sheet}&pdf=1").data
    dark = np.asarray(pages_of(data)[0]) < 128
    size = SHEETS[sheet]
    box = dark[: round((size.top + size.height / 2) * DPI / MM_PER_INCH), : round(40 * DPI / MM_PER_INCH)]
    ys, xs = np.nonzero(box)
    return float(xs.min()) * MM_PER_INCH / DPI, float(ys.min()) * MM_PER_INCH / DPI


def spare(app: Flask) -> str:
    app.extensions["bench"].journal.write("code.issued", BENCH, {"codes": ["T5C7HJ"]})
    return "T5C7HJ"


def test_an_offset_is_kept_and_every_sheet_of_that_size_moves_by_it(app: Flask, client: FlaskClient, send) -> None:  # type: ignore[no-untyped-def]
    code = spare(app)
    before, other = first_symbol(client, code, "a4-21"), first_symbol(client, code, "a4-24")
    layout = tag_layout(SHEETS["a4-21"])
    quiet = QUIET * 8 / 300 * MM_PER_INCH
    due = (7.2 + layout.symbols[0][0] + quiet, 15.1 + layout.symbols[0][1] + quiet)
    assert before == pytest.approx(due, abs=0.2)
    assert send("/print/calibrate", OFFSET).status_code == 303
    after = first_symbol(client, code, "a4-21")
    assert (after[0] - before[0], after[1] - before[1]) == pytest.approx((0.8, -0.6), abs=0.2)
    assert first_symbol(client, code, "a4-24") == pytest.approx(other, abs=0.01)
    (record,) = (r for r in app.extensions["bench"].state.records.values() if r.kind == "setting.changed")
    assert record.data == {"name": "print_offset_mm.a4-21", "value": [0.8, -0.6]}
    text = client.get("/print/calibrate").get_data(as_text=True)
    assert "+0.8 mm right, -0.6 mm down" in text
    assert 'value="0.8"' in client.get("/print/calibrate?sheet=a4-21").get_data(as_text=True)


@pytest.mark.parametrize("wrong", [{"right_mm": ""}, {"right_mm": "11"}, {"down_mm": "-10.5"}, {"down_mm": "left"}])
def test_what_is_no_offset_is_refused_beside_its_field(app: Flask, send, wrong: dict[str, str]) -> None:  # type: ignore[no-untyped-def]
    answer = send("/print/calibrate", OFFSET | wrong)
    assert answer.status_code == 422 and f'id="{next(iter(wrong))}-no"' in answer.get_data(as_text=True)
    assert not app.extensions["bench"].state.settings()


def test_an_unknown_sheet_is_a_calm_404_and_the_same_submit_is_kept_once(app: Flask, client: FlaskClient, send) -> None:  # type: ignore[no-untyped-def]
    assert client.get("/print/calibrate?sheet=b5").status_code == 404
    assert client.get("/print/calibrate/page?sheet=b5").status_code == 404
    assert send("/print/calibrate", OFFSET | {"sheet": "b5"}).status_code == 404
    twice = OFFSET | {"record_id": "01M6NE00000000000000000000"}
    assert [send("/print/calibrate", twice).status_code for _ in range(2)] == [303, 303]
    assert len(app.extensions["bench"].state.records) == 1


@pytest.mark.parametrize("value", ["far", [1], [True, 0.0], [99.0, 0.0], {"right": 1}])
def test_an_offset_that_makes_no_sense_moves_nothing(app: Flask, client: FlaskClient, value: object) -> None:
    spare(app)
    data = {"name": "print_offset_mm.a4-24", "value": value}
    app.extensions["bench"].journal.write("setting.changed", BENCH, data)
    assert "left: 0mm; top: 0.5mm" in client.get("/print/tags").get_data(as_text=True)


@pytest.mark.parametrize("slug", list(SHEETS))
def test_every_sheet_has_its_page_of_rulers(client: FlaskClient, slug: str) -> None:
    shown = client.get(f"/print/calibrate/page?sheet={slug}")
    scripts = re.findall(r"<script[^>]*>[^<]*", shown.get_data(as_text=True))
    assert shown.status_code == 200 and len(scripts) == 1 and re.search(r'src="/static/device\.js\?', scripts[0])
    assert shown.get_data(as_text=True).count('class="cross"') >= 4


@pytest.mark.parametrize("slugs", [SOME, pytest.param(tuple(SHEETS), marks=pytest.mark.long)])
def test_every_kind_of_label_is_printed_whole_on_every_size_or_refused_with_one_that_fits(
    app: Flask, client: FlaskClient, slugs: tuple[str, ...]
) -> None:
    fill(app.extensions["bench"])
    state = app.extensions["bench"].state
    on = cache(lambda thing, slug: client.get(f"/print/labels?thing={thing}&sheet={slug}"))  # each is set once
    fitted: dict[str, set[str]] = {}
    for sort in ("jar", "pigment", "waste"):
        thing = max(state.things(sort), key=lambda one: state.code_of(one) or "")
        codes = [code] if (code := state.code_of(thing)) else []
        for slug in slugs:
            answer = on(thing, slug)
            text = answer.get_data(as_text=True)
            if answer.status_code == 200:
                fitted.setdefault(sort, set()).add(slug)
                assert all(code[:5] in text for code in codes)
            else:
                assert answer.status_code == 422 and "does not fit" in text and "It fits on" in text, (sort, slug)
                offered = text.split("/print/labels?sheet=")[1].split("&")[0]
                assert SHEETS[offered].width * SHEETS[offered].height > SHEETS[slug].width * SHEETS[slug].height
                assert on(thing, offered).status_code == 200, (sort, offered)
        largest = client.get(f"/print/labels?thing={thing}&sheet=a4-2&pdf=1").data
        assert texts_on(largest) == codes
    assert all("a4-2" in sizes and "tag-18" not in sizes for sizes in fitted.values()) and len(fitted) == 3
