"""Hands full beside a furnace with the laptop off: each touch waits on the phone, and is there after its return."""

from typing import Any

import pytest
from playwright.sync_api import expect

from tests.screens.making import Making
from tests.screens.test_hands import Load

pytestmark = pytest.mark.long


def test_touches_without_the_laptop_are_records_after_its_return(
    opened: Any, settings: Any, phone_of: Any, keeper: Any
) -> None:
    load = Load(Making(opened.app, keeper))
    phone = phone_of(settings.keys / "authority.crt", opened.workshop.network.tls_port)
    page = phone.start()
    phone.pair(opened.app, page)
    page.goto("/")
    expect(page.locator("[data-ready]")).to_contain_text("Ready offline", timeout=30_000)
    phone.context.set_offline(True)
    hands = f"/firing/{load.fire}/hands"
    page.goto(hands)
    page.locator(".hands-order").first.click()
    expect(page.locator("[data-hands-say]")).to_contain_text("7K3MQ-X out. Next 9QH2F-B.")
    page.goto(hands)
    expect(page.locator("[data-hands-code]")).to_have_text("9QH2F-B")
    page.wait_for_timeout(1000)
    page.keyboard.press("PageDown")
    expect(page.locator("[data-hands-say]")).to_contain_text("9QH2F-B out. Next T5C7H-J.")
    page.locator("[data-hands-undo]").click()
    expect(page.locator("[data-hands-code]")).to_have_text("9QH2F-B")
    assert not load.out
    phone.context.set_offline(False)
    page.goto("/")
    expect(page.locator("[data-outbox-mark]")).to_contain_text("All on the laptop", timeout=20_000)
    assert {code: unconfirmed for code, (unconfirmed, _at) in load.out.items()} == {"7K3MQX": True}
