"""Hands full: one touch a crucible in the order of unloading, taken back, and checked by scan afterwards."""

import re
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from playwright.sync_api import expect

from bench.workshop.things.charges import charge
from tests.screens.making import Making
from tests.workshop.builder import lines

CODES = ("T5C7HJ", "9QH2FB", "7K3MQX")
COOLINGS = ("in-furnace", "either", "fast")
"""Of the three crucibles, in the order in which they were loaded."""


class Load:
    """A fire that is off and cold, with three crucibles in it: `charges` by their codes."""

    def __init__(self, make: Making) -> None:
        self.make = make
        self.charges: dict[str, str] = {}
        for code, mode in zip(CODES, COOLINGS, strict=True):
            batch = make.ready_batch(lines(("ZnO", 8.0)), cooling_mode=mode, cooling_basis="planned")
            pot = make.crucible()
            make.coded(pot, code)
            self.charges[code] = make.charge({"batch": batch, "g": 8.0}, crucible=pot)
        self.fire = make.firing(make.furnace("electric"))
        for one in self.charges.values():
            make.placed(one, self.fire)
        make.lit(self.fire)
        make.wait(60)
        make.off(self.fire)
        make.wait(24 * 60)
        make.reading(self.fire, 25.0)

    @property
    def out(self) -> dict[str, tuple[bool, Any]]:
        """Of each code whether it is out, whether unconfirmed, and when."""
        found = {}
        for code, thing in self.charges.items():
            view = charge(self.make.state, thing)
            assert view is not None
            stay = view.residences[0]
            if stay.came_out is not None:
                found[code] = (stay.unconfirmed, stay.came_out)
        return found


@pytest.fixture
def load(app: Flask, keeper: Any) -> Load:
    return Load(Making(app, keeper))


def stamp(send: Any, load: Load, client: FlaskClient) -> str:
    """One touch: what the page offers next is sent. Gives its code."""
    page = client.get(f"/firing/{load.fire}/hands").text
    shown = re.search(r"data-hands-code>(.{7})<", page)
    named = re.search(r'name="charge" value="(\w{26})"', page)
    assert shown and named
    fields = {"charge": named[1], "hands": "1", "unconfirmed": "1"}
    answer = send(f"/firing/{load.fire}/out", fields)
    assert answer.status_code == 303 and answer.headers["Location"].endswith("/hands")
    return shown[1].replace("-", "")


def check(client: FlaskClient, send: Any, load: Load, code: str, **more: str) -> Any:
    page = client.get(f"/firing/{load.fire}/checked").text
    out = re.search(r'name="out" value="(\w{26})"', page)
    return send(f"/firing/{load.fire}/checked", {"out": out[1] if out else "", "code": code, **more})


def test_each_touch_is_the_next_in_the_order_and_stays_unconfirmed(load: Load, client: FlaskClient, send: Any) -> None:
    assert [stamp(send, load, client) for _ in CODES] == ["7K3MQX", "9QH2FB", "T5C7HJ"]
    assert all(unconfirmed for unconfirmed, _at in load.out.values()) and len(load.out) == 3
    assert "All that may come out is out." in client.get(f"/firing/{load.fire}/hands").text
    page = client.get(f"/firing/{load.fire}").text
    assert "tag not checked yet" in page and f"/firing/{load.fire}/checked" in page
    for path in ("", "/cool"):
        assert "not checked yet" in client.get(f"/charge/{load.charges['7K3MQX']}{path}").text


def test_a_scan_confirms_or_gives_the_time_to_another(load: Load, client: FlaskClient, send: Any, keeper: Any) -> None:
    """Taken for 7K3MQX, 9QH2FB, T5C7HJ; in truth the first two were the other way round."""
    for _ in CODES:
        stamp(send, load, client)
        keeper.turn(2)
    before = load.out
    assert check(client, send, load, "9QH2FB").status_code == 303
    assert load.out["9QH2FB"] == (False, before["7K3MQX"][1])
    assert load.out["7K3MQX"] == (True, before["9QH2FB"][1])
    for code in ("7K3MQX", "T5C7HJ"):
        assert check(client, send, load, code).status_code == 303
    assert not any(unconfirmed for unconfirmed, _at in load.out.values())
    assert load.out["T5C7HJ"][1] == before["T5C7HJ"][1]
    assert "is checked" in client.get(f"/firing/{load.fire}/checked").text
    assert "not checked" not in client.get(f"/firing/{load.fire}").text


def test_one_that_counted_as_in_is_asked_about_first(load: Load, client: FlaskClient, send: Any) -> None:
    stamp(send, load, client)
    answer = check(client, send, load, "T5C7HJ")
    assert answer.status_code == 422 and "still in" in answer.text and len(load.out) == 1
    assert check(client, send, load, "T5C7HJ", other_in="1").status_code == 303
    assert {code: unconfirmed for code, (unconfirmed, _at) in load.out.items()} == {"T5C7HJ": False}
    assert stamp(send, load, client) == "7K3MQX"


@pytest.mark.parametrize(
    ("code", "says"), [("", "Type"), ("T5C7HX", "wrong"), ("8ZC4D9", "belongs to this firing"), ("7K3MQX", "checked")]
)
def test_what_cannot_be_checked_is_said(load: Load, client: FlaskClient, send: Any, code: str, says: str) -> None:
    stamp(send, load, client)
    assert check(client, send, load, "7K3MQX").status_code == 303
    stamp(send, load, client)
    answer = check(client, send, load, code)
    assert answer.status_code == 422 and says in answer.text


def test_a_repeated_check_is_one(load: Load, client: FlaskClient, send: Any) -> None:
    stamp(send, load, client)
    out = re.search(r'name="out" value="(\w{26})"', client.get(f"/firing/{load.fire}/checked").text)
    assert out
    fields = {"out": out[1], "code": "7K3MQX", "record_id": "01KJM6JM00000000000000ZZZZ"}
    assert [send(f"/firing/{load.fire}/checked", fields).status_code for _ in range(2)] == [303, 303]
    assert len(load.make.state.all_rows(load.charges["7K3MQX"], "came.out")) == 2


def test_touch_space_and_a_presenter_stamp_and_undo_takes_back(load: Load, live: Any, browser_page: Any) -> None:
    page = browser_page
    page.add_init_script("performance.now = () => Date.now() * 1000;")  # nobody presses twice within a second here
    page.goto(f"{live.url}/firing/{load.fire}/hands")
    code, said = page.locator("[data-hands-code]"), page.locator("[data-hands-say]")
    expect(code).to_have_text("7K3MQ-X")
    page.locator(".hands-order").click()
    expect(said).to_have_text("7K3MQ-X out. Next 9QH2F-B.")
    page.keyboard.press("PageDown")
    expect(said).to_contain_text("9QH2F-B out.")
    page.keyboard.press("PageUp")
    expect(code).to_have_text("9QH2F-B")
    assert list(load.out) == ["7K3MQX"]
    page.keyboard.press(" ")
    expect(said).to_contain_text("9QH2F-B out.")
    page.keyboard.press("Enter")
    expect(said).to_contain_text("All that may come out is out.")
    assert len(load.out) == 3
