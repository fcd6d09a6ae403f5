"""Screens after the fire as the demo has them not, in a real Chromium: audited by day; a story by keys alone."""

import re
from typing import Any

from bench.demo import fill
from bench.workshop.things.pigments import pigment
from tests.screens import looking
from tests.screens.making import Making
from tests.screens.powders import cold_charge, powder


def pages(live: Any) -> dict[str, str]:
    """A charge to open, salt to wash out, and two of the demo's swatches beside each other."""
    fill(live.app.extensions["bench"])
    make = Making(live.app, live.keeper)
    state = make.state
    first, second = state.things("swatch")[:2]
    salty = powder(make, ("Cr2O3", 5.0), ("KCl", 5.0, "washed-out"))
    return {
        "open": f"/charge/{cold_charge(make, target='egyptian-blue')}/open",
        "wash": f"/pigment/{salty}/wash",
        "swatches": f"/swatches?pick.{first}=1&pick.{second}=1",
    }


def test_every_screen_can_be_read_and_hit(browser_page: Any, live: Any) -> None:
    """No finding of the audit, keys of 64 px, text of 18 px, nothing that sticks out."""
    for name, path in pages(live).items():
        answer = browser_page.goto(path)
        assert answer.status == 200, name
        browser_page.evaluate(looking.UNFOLD)
        assert looking.audit(browser_page) == [], name
        for width in (320, 360):
            browser_page.set_viewport_size({"width": width, "height": 740})
            assert looking.overflow(browser_page) == [], (name, width)
            assert looking.small_keys(browser_page) == [], (name, width)
        assert looking.small_text(browser_page) == [], name


def test_from_the_opened_crucible_to_the_verdict(browser_page: Any, live: Any) -> None:
    """Typed on the large keys and pressed on the plates: opened, weighed dry, painted, judged."""
    make = Making(live.app, live.keeper)
    browser_page.goto(f"/charge/{cold_charge(make)}/open")
    browser_page.fill("#tare_after_g", "40")
    for key in "49.9":
        browser_page.locator(f"#gross_g-keys [data-key='{key}']").click()
    browser_page.locator("footer .plate").click()
    browser_page.wait_for_url("**/pigment/*")
    thing = re.findall(r"/pigment/(\w{26})", browser_page.url)[0]
    live.keeper.turn(1)
    browser_page.goto(f"/pigment/{thing}/dry")
    browser_page.fill("#net_g", "9,8")
    browser_page.locator("footer .plate").click()
    browser_page.wait_for_url(f"**/pigment/{thing}/swatch")  # the next step
    assert "9.80 g" in browser_page.locator(".recorded").inner_text()
    browser_page.locator("footer .plate").click()
    browser_page.wait_for_url(f"**/pigment/{thing}/judge")
    live.keeper.turn(1)
    browser_page.locator("label", has_text="as wanted").click()
    browser_page.locator("footer .plate").click()
    browser_page.wait_for_url(f"**/pigment/{thing}")
    view = pigment(make.state, thing)
    assert view is not None and view.state == "kept" and view.dry_g == 9.8 and len(view.swatches) == 1
