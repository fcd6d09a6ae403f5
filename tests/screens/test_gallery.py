"""The gallery in a real Chromium: audited, measured and tried, in both lights and at every width."""

import importlib.util
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from bench.screens.house.gallery import SHEETS

spec = importlib.util.spec_from_file_location("looking", Path(__file__).with_name("looking.py"))
assert spec and spec.loader
looking = importlib.util.module_from_spec(spec)
spec.loader.exec_module(looking)

WIDTHS = (320, 360, 768, 1280)
KEY_PX = {"today": 60.0}


@pytest.mark.parametrize("sheet", SHEETS)
def test_every_part_can_be_seen_read_and_hit(lasting_page: Any, sheet: str) -> None:
    """WCAG 2.2 AA and a contrast of 7 : 1 by day and night; no sideways scrolling, keys of 64 px (60 on Today), text of
    18 px (in drawings 15 at 320) at each width."""
    lasting_page.goto(f"/look/{sheet}")
    assert looking.findings(lasting_page, WIDTHS, KEY_PX.get(sheet, 64.0)) == []


def test_the_measures_find_what_is_wrong(browser_page: Any) -> None:
    """A page with faults put into it: each of the measures finds its own."""
    browser_page.goto("/look/fields")
    browser_page.evaluate("""() => {
      const main = document.querySelector('main');
      main.innerHTML = '<a class="tag" href="#x">7</a><p id="wide">x</p><p id="pale">grey</p><svg role="img"></svg>';
      document.querySelector('#wide').setAttribute('class', 'sheet');
      document.styleSheets[0].insertRule('#wide { width: 900px; font-size: 12px; }', 0);
      document.styleSheets[0].insertRule('#pale { color: #666; }', 0);
    }""")
    found = " ".join(looking.findings(browser_page, (360,)))
    for what in ("svg-img-alt", "color-contrast-enhanced", "360 px: <", "[12", 'href="#x"'):
        assert what in found, what


@pytest.fixture(scope="module")
def lax_page(chromium: Any, lasting_page: Any) -> Any:
    """A page into which a test may put a style."""
    url = lasting_page.url.partition("/look")[0]
    context = chromium.new_context(viewport={"width": 360, "height": 740}, base_url=url, bypass_csp=True)
    yield context.new_page()
    context.close()


@pytest.mark.parametrize("sheet", SHEETS)
def test_wide_letters_fit(lax_page: Any, sheet: str) -> None:
    """With a face as wide as DejaVu Sans nothing sticks out or is cut off."""
    page = lax_page
    page.goto(f"/look/{sheet}")
    page.add_style_tag(content=":root { --face: 'DejaVu Sans' !important }")
    assert looking.overflow(page) == []
    assert looking.cut_off(page) == []
    spilt = "e => [...e.children].some(c => c.getBoundingClientRect().right > e.getBoundingClientRect().right + 1)"
    spilling = f"[...document.querySelectorAll('.tap, .plate, .plain, .stop')].filter({spilt})"
    found = page.evaluate(f"{spilling}.map((e) => e.textContent)")
    assert found == []


def test_emergency_holds_its_corner_in_either_hand(browser_page: Any, live: Any) -> None:
    """The bar mirrors: its outer corner is *Emergency*'s, 24 px from the plate; with large text over it."""
    found = {}
    for hand, width in (("right", 360), ("left", 360), ("left", 250)):
        browser_page.context.add_cookies([{"name": "hand", "value": hand, "url": live.url}])
        browser_page.set_viewport_size({"width": width, "height": 740})
        browser_page.goto("/look/firing")
        stop, plate = (browser_page.locator(one).bounding_box() for one in (".actionbar > .stop", ".actionbar .plate"))
        assert stop and plate
        beside = max(plate["x"] - stop["x"] - stop["width"], stop["x"] - plate["x"] - plate["width"])
        over = plate["y"] - stop["y"] - stop["height"]
        found[hand, width] = (round(stop["x"]), round(beside), round(width - stop["x"] - stop["width"]), round(over))
    assert found["right", 360][:2] == (8, 24)
    assert found["left", 360][1:3] == (24, 8)
    assert found["left", 250][3] == 24
    browser_page.goto("/look/reading")
    assert looking.overflow(browser_page) == []


def test_the_system_light_is_followed(chromium: Any, live: Any) -> None:
    """Without a choice the device's own light holds."""
    grounds = []
    for scheme in ("light", "dark"):
        context = chromium.new_context(color_scheme=scheme, base_url=live.url)
        page = context.new_page()
        page.goto("/look/fields")
        grounds.append(page.evaluate("getComputedStyle(document.documentElement).backgroundColor"))
        context.close()
    assert grounds == ["rgb(246, 241, 230)", "rgb(18, 16, 14)"]


def test_the_gallery_is_shut_on_a_makers_bench(app: Any, client: FlaskClient) -> None:
    """It opens in the demo and in tests alone."""
    app.testing = False
    assert client.get("/look/").status_code == 404


def test_each_sheet_has_its_template(client: FlaskClient) -> None:
    """Every sheet answers; others do not."""
    assert all(client.get(f"/look/{sheet}").status_code == 200 for sheet in SHEETS)
    assert client.get("/look/none").status_code == 404
