"""What is typed and not yet sent: kept on the device by form and thing, said so, forgotten when it was recorded."""

from typing import Any

import pytest
from flask import Flask
from playwright.sync_api import expect

from tests.screens.making import Making
from tests.workshop.builder import lines

SAID = "Not saved: typed"
KEPT = "() => localStorage.getItem('saggar-typed') ?? ''"


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    """Puts records into the open bench."""
    return Making(app, keeper)


def opened(page: Any, path: str) -> Any:
    """A page, once its scripts have said what they found."""
    page.goto(path)
    page.wait_for_load_state("networkidle")
    return page


def test_a_weight_comes_back_on_its_own_line_until_it_is_recorded(browser_page: Any, live: Any, make: Making) -> None:
    page = browser_page
    one, two = (make.batch(lines(("ZnO", 5.0), ("SiO2", 4.0)), name=name) for name in ("First", "Second"))
    for thing in (one, two):
        make.checked(thing, "before-weighing")
    page.goto(f"/batch/{one}/weigh/1")
    for key in "501":
        page.locator(f"[data-key='{key}']").click()
    page.reload()
    expect(page.locator(".head")).to_contain_text(SAID)
    assert page.input_value("#net_g") == "5.01"
    for other in (f"/batch/{one}/weigh/2", f"/batch/{two}/weigh/1"):
        assert opened(page, other).input_value("#net_g") == "" and SAID not in page.inner_text("body")
    page.goto(f"/batch/{one}/weigh/1")
    expect(page.locator(".head")).to_contain_text(SAID)
    assert page.input_value("#net_g") == "5.01"
    page.fill("#net_g", "50.1")
    page.locator("footer .plate").click()
    page.get_by_role("button", name="Type it again").click()
    expect(page.locator("#net_g[data-anew]")).to_have_value("50.1")
    for key in "5..0.1":
        page.locator(f"[data-key='{key}']").click()
    assert page.input_value("#net_g") == "5.01"
    page.route("**/weigh/1", lambda route: route.abort() if route.request.method == "POST" else route.continue_())
    with page.expect_event("requestfailed"):
        page.locator("footer .plate").click()
    page.unroute_all()
    page.goto(f"/batch/{two}")
    page.goto(f"/batch/{one}/weigh/1")
    expect(page.locator(".head")).to_contain_text(SAID)
    page.locator("footer .plate").click()
    page.wait_for_url("**/weigh/2")
    page.wait_for_function("localStorage.getItem('saggar-typed') === null")
    assert len(live.app.extensions["bench"].state.rows(one, "weighed")) == 1


def test_after_a_refusal_a_reload_brings_what_was_corrected_and_clear_takes_it_away(browser_page: Any) -> None:
    page = browser_page
    page.goto("/plan/target?target=cobalt-zinc-green")
    fresh = page.input_value("[name=target]")
    page.fill("[name=target]", "cobald gren 77")
    page.get_by_role("button", name="Calculate").click()
    page.wait_for_selector("body[data-refused]")
    page.fill("[name=target]", "cobalt blue")
    page.wait_for_function("localStorage.getItem('saggar-typed').includes('cobalt blue')")
    assert page.reload().request.method == "GET"
    expect(page.locator(".head")).to_contain_text(SAID)
    assert page.input_value("[name=target]") == "cobalt blue" and page.url.endswith("?target=cobalt-zinc-green")
    page.get_by_role("button", name="Clear").click()
    expect(page.locator("[name=target]")).to_have_value(fresh)
    assert SAID not in page.inner_text("body") and page.evaluate(KEPT) == ""
