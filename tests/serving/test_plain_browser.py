"""The first batch over plain HTTP, in a real browser: with no worker, an open page brings what it may come to need."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.serving.away import Laptop, empty, free_port, waits
from tests.serving.conftest import ARGS, NAME


@pytest.fixture
def laptop(tmp_path: Path) -> Iterator[Laptop]:
    made = Laptop(tmp_path / "killable", free_port(), scene="batch", yard=free_port())
    made.start()
    yield made
    made.kill()


@pytest.fixture(scope="module")
def browser(driver: Any, chromium_path: str) -> Iterator[Any]:
    """A browser that finds the bench by its name."""
    args = [*ARGS, f"--host-resolver-rules=MAP {NAME} 127.0.0.1"]
    made = driver.chromium.launch(executable_path=chromium_path, args=args)
    yield made
    made.close()


@pytest.fixture
def page(laptop: Laptop, browser: Any) -> Iterator[Any]:
    """The page of a phone that came in by the code, with no certificate."""
    context = browser.new_context(viewport={"width": 360, "height": 740}, base_url=f"http://{NAME}:{laptop.yard}")
    made = context.new_page()
    made.goto(f"/pair?code={laptop.code}")
    made.fill("#name", "kiln")
    made.click("button.plate")
    expect(made.locator("[data-outbox-words]")).to_have_text("All on the laptop", timeout=15_000)
    yield made
    context.close()


def test_an_open_page_keeps_what_is_weighed_while_the_laptop_is_gone(laptop: Laptop, page: Any) -> None:
    complaints: list[str] = []
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.goto(f"/batch/{laptop.batch}/weigh/1?late=1")
    expect(page.locator("[data-outbox-words]")).to_have_text("All on the laptop", timeout=15_000)
    page.fill("[name=net_g]", "4")
    page.wait_for_function("localStorage.getItem('saggar-typed')")
    laptop.kill()
    for n, g in enumerate(("4.01", "4.00"), 1):
        page.fill("[name=net_g]", g)
        page.click(".actionbar .plate")
        waits(page, n)
        expect(page.locator("[data-outbox-strip]")).to_contain_text("kept on this phone")
        expect(page.locator("[name=net_g]")).to_have_value("")
    assert page.evaluate("localStorage.getItem('saggar-typed')") is None  # what the outbox has is typed no more
    page.locator(".kept-here button").click()
    waits(page, 3)
    assert complaints == []
    laptop.start()
    empty(page)
    kinds = [r["kind"] for r in laptop.records() if r["device"].startswith("phone-kiln~")]
    assert kinds.count("weighed") == 2 and kinds.count("withdrawn") == 1


def test_a_second_tap_while_the_next_page_is_on_its_way_records_nothing(laptop: Laptop, page: Any) -> None:
    page.goto(f"/batch/{laptop.batch}/weigh/1?late=1")
    expect(page.locator("[data-outbox-words]")).to_have_text("All on the laptop", timeout=15_000)
    again = "setTimeout(() => document.querySelector('#ask').requestSubmit(), 0)"
    page.evaluate(f"() => addEventListener('beforeunload', () => {again})")
    page.fill("[name=net_g]", "3.99")
    page.locator(".actionbar .plate").click()
    page.wait_for_url("**/weigh/2*")
    expect(page.locator("[data-outbox-words]")).to_have_text("All on the laptop", timeout=15_000)
    assert [r["kind"] for r in laptop.records()].count("weighed") == 1


def test_a_timer_of_an_open_page_is_kept_and_counts_while_the_laptop_is_gone(laptop: Laptop, page: Any) -> None:
    complaints: list[str] = []
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.goto(f"/firing/{laptop.firing}/timer")
    page.locator("html[data-at-hand]").wait_for()
    laptop.kill()
    for n, purpose in enumerate(("Look in", "Turn it down"), 1):
        page.fill("[name=minutes]", "30")
        page.fill("[name=purpose]", purpose)
        page.locator(".actionbar .plate").click()
        expect(page.locator("[data-timer]", has_text=purpose)).to_be_visible()
        waits(page, n)
    with page.expect_download() as kept:
        page.locator("[data-timer]").first.get_by_role("link", name="calendar").click()
    assert "Look in" in Path(kept.value.path()).read_text("utf-8")
    assert complaints == []
    laptop.start()
    empty(page)
    assert [r["data"]["purpose"] for r in laptop.records() if r["kind"] == "timer.set"] == ["Look in", "Turn it down"]


def test_a_crucible_is_loaded_from_an_open_page_while_the_laptop_is_gone(laptop: Laptop, page: Any) -> None:
    page.goto(f"/batch/{laptop.batch}/load?late=1")
    expect(page.locator("[data-outbox-words]")).to_have_text("All on the laptop", timeout=15_000)
    laptop.kill()
    for name, value in {"code": "T5C7HJ", "g": "19.5"}.items():
        page.fill(f"[name={name}]", value)
    page.locator("[name=lid][value=loose]").check(force=True)
    page.locator(".actionbar .plate").click()
    waits(page, 1)
    expect(page.locator("[data-outbox-strip]")).to_contain_text("kept on this phone")
