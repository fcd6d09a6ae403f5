"""Away from the laptop with a damp charge, a full crucible and another batch's tag: held, and nothing false said."""

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.serving.away import Laptop, empty, free_port, near, pair, waits
from tests.serving.killable import YARD_CODES
from tests.serving.test_whole_batch_offline import Hands

FREE, FULL, JAR = YARD_CODES
FREE_SAID, FULL_SAID = (f"{code[:5]}-{code[5]}" for code in (FREE, FULL))
SHOTS = os.environ.get("SAGGAR_WALK_SHOTS")
"""A folder for pictures of the walk; without it none are made."""


@pytest.fixture
def laptop(tmp_path: Path) -> Iterator[Laptop]:
    made = Laptop(tmp_path / "killable", free_port(), "yard")
    made.start()
    yield made
    made.kill()


class Walk(Hands):
    """The maker, and what stands at the key."""

    shots = 0

    def see(self) -> str:
        """All that is to be read on the page, photographed where pictures are wanted."""
        expect(self.page.locator("body:not([data-stored]), body[data-brought]")).to_be_visible()
        if SHOTS:
            self.shots += 1
            self.page.screenshot(path=f"{SHOTS}/walk-{self.shots:02d}.png")
        return str(self.page.locator("body").inner_text())

    def code(self, code: str) -> None:
        field = self.page.locator('#ask [name="code"]')
        field.fill(code)
        field.dispatch_event("change")

    def held(self, *words: str) -> Any:
        """The reasons at the key, in view whatever is scrolled; the plate alone records nothing."""
        box = self.page.locator(".actionbar .held")
        for one in words:
            expect(box).to_contain_text(one)
        self.page.evaluate("() => scrollTo(0, 0)")
        if self.page.locator(".actionbar button.plate").count():
            self.page.locator(".actionbar .plate").click()
            expect(box).to_contain_text(words[0])
        expect(box).to_be_in_viewport(ratio=1)
        self.see()
        return box.locator("button")

    def place(self, charge: str, fire: str) -> None:
        self.page.goto(f"/charge/{charge}/place?late=1&firing={fire}")
        self.page.locator('#ask [name="place"]').first.check()


def ids(laptop: Laptop, kind: str) -> list[str]:
    return sorted(r["id"] for r in laptop.records() if r["kind"] == kind)


def count(laptop: Laptop, kind: str) -> int:
    return len(ids(laptop, kind))


def test_a_walk_with_a_damp_charge_a_full_crucible_and_another_s_tag(laptop: Laptop, phone_of: Any) -> None:
    page = pair(laptop, phone_of(laptop.data / "keys" / "authority.crt", laptop.port))
    walk = Walk(page)
    burning, batch = laptop.firing, laptop.batch
    planned = next(one for one in ids(laptop, "firing.planned") if one != burning)
    other = ids(laptop, "charged")[0]
    laptop.kill()

    page.goto(f"/batch/{batch}/load?checks=1")
    walk.answers()
    page.goto(f"/batch/{batch}/load?late=1")
    walk.fill(g="warm", lid="loose")
    walk.code(FREE)
    page.locator(".actionbar .plate").click()
    expect(page.locator("[data-outbox-complaint]")).to_have_text(
        "“warm” is not a number. Type digits only, without the unit."
    )
    expect(page.locator('#ask [name="g"]')).to_be_focused()
    expect(page.locator('#ask [name="code"]')).to_have_value(FREE)
    waits(page, 1)
    walk.fill(g="9")
    walk.code(FULL)
    expect(walk.held(f"{FULL_SAID} holds Wrong B already")).to_have_text("Already done: enter it")
    walk.code(JAR)
    expect(walk.held(", not a crucible")).to_have_count(0)
    walk.code(FREE)
    expect(page.locator(".held")).to_have_count(0)
    walk.plate()
    page.wait_for_url("**/charge/*")
    filled = page.url.rsplit("/", 1)[1]
    said = walk.see()
    assert "9.00 g" in said and FREE_SAID in said and "20.00 g" not in said and "has no code" not in said
    expect(page.locator(".actionbar .plate")).to_contain_text("Dry")

    walk.place(filled, burning)
    walk.held("Not recorded as dry: steam bursts a crucible. Dry it first.")
    walk.place(filled, planned)
    with page.expect_navigation():
        walk.held("Chamber was hot when last read.").click()
    walk.at(f"/charge/{filled}")
    expect(page.locator(".actionbar .plate")).to_contain_text("Dry")
    page.goto(f"/firing/{planned}")
    walk.held("A damp charge bursts into steam", "The checks before the fire are not all ticked")
    said = walk.see()
    assert "Nothing is placed here yet" not in said and "No crucible is placed" not in said and FREE_SAID in said
    page.goto(f"/firing/{planned}/checks/before-lighting")
    walk.answers()
    walk.at(f"/firing/{planned}")
    expect(page.locator(".held")).to_contain_text("A damp charge bursts into steam")
    said = walk.see()
    assert "not all ticked" not in said and "0 of" not in said and "ticks missing" not in said
    expect(page.locator(".actionbar .plate")).to_contain_text("Dry")
    waits(page, 4)

    page.goto(f"/firing/{burning}/in")
    walk.code(FREE)
    done = walk.held(
        "Not recorded as dry: steam bursts a crucible. Dry it first.",
        "It is not placed in this firing. Place it first.",
    )
    waits(page, 4)
    expect(done).to_have_text("Already in: enter it")
    with page.expect_navigation():
        done.click()
    waits(page, 5)
    walk.see()

    page.goto(f"/charge/{other}/place")
    page.locator(f'#ask [name="firing"][value="{planned}"]').check()
    assert page.locator('#ask [name="place"]').count() and "not stored here" not in walk.see()
    page.goto("/")
    walk.see()
    page.goto(f"/batch/{batch}")
    assert "Left" not in walk.see()

    laptop.start()
    empty(page)
    assert count(laptop, "went.in") == count(laptop, "placed") == 1 and count(laptop, "charged") == 2
    for path in (f"/firing/{burning}", "/"):
        page.goto(path)
        near(page)
        expect(page.locator("main")).to_contain_text("went into the heat without being recorded dry")
        walk.see()


def test_the_laptop_s_own_reasons_and_a_phone_without_its_pages(laptop: Laptop, phone_of: Any) -> None:
    """Refused near the laptop, with the reason and the second key; then the stored pages are gone, and the laptop."""
    page = pair(laptop, phone_of(laptop.data / "keys" / "authority.crt", laptop.port))
    walk = Walk(page)
    planned = next(one for one in ids(laptop, "firing.planned") if one != laptop.firing)
    walk.place(ids(laptop, "charged")[0], planned)
    page.locator(".actionbar .plate").click()
    done = walk.held("Chamber was hot when last read.")
    assert count(laptop, "placed") == 0
    with page.expect_navigation():
        done.click()
    empty(page)
    assert count(laptop, "placed") == 1

    page.goto(f"/firing/{laptop.firing}/reading?other=1")
    laptop.kill()
    page.fill("[name=c]", "701")
    walk.plate()
    waits(page, 1)
    jar = ids(laptop, "jar.opened")[0]
    page.goto(f"/weigh/jar/{jar}")
    expect(page.locator("h1")).to_have_text("zinc oxide")
    row = page.locator("a.thing-row", has_text="Dip E")
    page.goto(f"{row.get_attribute('href')}&late=1")
    walk.fill(net_g="5.00")
    walk.plate()
    page.wait_for_url(f"**/weigh/jar/{jar}")
    expect(page.locator("main")).to_contain_text("No mortar waits for this jar")
    walk.see()
    waits(page, 2)
    page.evaluate("async () => { for (const name of await caches.keys()) await caches.delete(name); }")
    page.goto("/firings")
    expect(page.locator("body")).to_contain_text("2 waiting. They are safe on this phone.")
