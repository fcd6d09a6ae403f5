"""The plan, the batch, the copies and the series in a real Chromium: audited by day and by night at 360 px."""

from typing import Any

import pytest
from flask import Flask

from tests.screens import looking
from tests.screens.making import Making


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    """Puts records into the open bench."""
    return Making(app, keeper)


def stocked(make: Making) -> str:
    """Jars, vessels and a batch that was weighed far off its target; gives the batch."""
    make.jar("ZnO", "zinc-oxide", net_g=250.0)
    make.jar("CoCO3", "cobalt-ii-carbonate", net_g=100.0, hydrate_known=False)
    make.jar("KCl", "potassium-chloride", net_g=500.0)
    make.coded(make.crucible(volume_ml=80.0), "7K3MQX")
    lines = [
        {"line": 1, "formula": "CoO", "target_g": 1.0, "name": "cobalt-ii-oxide"},
        {"line": 2, "formula": "Al2O3", "target_g": 5.0},
    ]
    schedule = [{"to_c": 1100.0, "hold_min": 60.0}]
    batch = make.batch(lines, name="Yard blue", target_formula="CoAl2O4", schedule=schedule)
    make.weigh(batch, 1.0, 5.0)
    return batch


def wrong_here(page: Any, by_night: bool) -> list[str]:
    """What the audit, the sizes and the widths find by day; and by night where asked, because it takes its time."""
    page.evaluate(looking.UNFOLD)
    page.set_viewport_size({"width": 360, "height": 740})
    found = [*map(str, looking.small_keys(page, 60.0)), *map(str, looking.small_text(page)), *looking.overflow(page)]
    found += looking.audit(page)
    if not by_night:
        return found
    looking.turn(page, "night")
    return found + looking.audit(page, only_contrast=True)


def test_every_page_can_be_read_and_hit(browser_page: Any, live: Any, make: Making) -> None:
    """Empty, reckoned, refused and kept."""
    batch = stocked(make)
    page, found = browser_page, {}

    def look(name: str) -> None:
        found[name] = wrong_here(page, by_night=name in ("reckoned", "refused", "levels"))

    for path in ("/plan/grams", "/plan/parts", f"/batch/{batch}"):
        page.goto(live.url + path)
        look(path)
    page.goto(f"{live.url}/plan/target?target=cobalt-zinc-green")
    page.locator("footer .plate").click()
    look("reckoned")
    page.goto(f"{live.url}/plan/grams?formula.0=KNO3&g.0=1&formula.1=charcoal&g.1=1")
    page.locator("footer .plate").click()
    look("refused")
    page.goto(f"{live.url}/batch/{batch}/copy")
    page.get_by_role("link", name="Soak temperature").click()
    page.fill("[name='level.0']", "1050")
    look("levels")
    page.locator("footer .plate").click()
    assert page.url.startswith(f"{live.url}/series/"), page.url
    assert not {name: wrong for name, wrong in found.items() if wrong}


def test_back_to_a_page_that_answered_a_form_asks_for_it_again_with_what_was_typed(
    browser_page: Any, live: Any
) -> None:
    browser_page.goto(live.url + "/plan/target")
    browser_page.fill("[name=target]", "cobalt green")
    browser_page.get_by_role("button", name="Calculate").click()
    browser_page.wait_for_selector("body[data-answers]")
    browser_page.goto(live.url + "/help")
    browser_page.go_back()
    assert browser_page.input_value("[name=target]") == "cobalt green"
    assert browser_page.reload().request.method == "GET"
