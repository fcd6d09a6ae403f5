"""A balance on a serial port: a pseudo-terminal of this system, written to as a balance prints, read with pyserial."""

import sys
import time
from collections.abc import Iterator
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from playwright.sync_api import expect

from tests.screens.making import Making
from tests.serving.test_listening import Meter, until
from tests.workshop.builder import lines

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="Windows has no pseudo-terminals.")


@pytest.fixture
def scale() -> Iterator[Meter]:
    made = Meter()
    yield made
    made.unplug()


def attach(send: Any, scale: Meter, **more: str) -> Any:
    fields = {"port": scale.port, "baud": "9600", "pattern": "# g", "steady": "ST", "moving": "US"} | more
    return send("/balance", fields)


def now(client: FlaskClient) -> dict[str, Any]:
    answer = client.get("/balance/now")
    assert answer.headers["Cache-Control"] == "no-store" and len(answer.data) < 1500
    found: dict[str, Any] = answer.get_json()
    return found


def listened(client: FlaskClient, app: Flask) -> None:
    """Wait until the port stands open."""
    now(client)
    until(lambda: now(client)["say"].startswith("The balance has sent nothing"))


def shows(client: FlaskClient, scale: Meter, line: str) -> dict[str, Any]:
    """What is told once this line has come."""
    scale.say(line)
    until(lambda: [one["text"] for one in now(client)["lines"]][-1:] == [line])
    return now(client)


def test_what_stands_on_the_balance_is_told_and_nothing_is_recorded(
    app: Flask, client: FlaskClient, send: Any, scale: Meter
) -> None:
    assert attach(send, scale).status_code == 303
    listened(client, app)
    before = len(app.extensions["bench"].state.records)
    for line, shown, taken, why in (
        ("US,GS,+  8.31 g", "8.31", False, "is moving"),
        ("ST,GS,+  8.46 g", "8.46", True, ""),
        ("ST,GS,+  0.00 g", "0.00", False, "Nothing is on"),
        ("ST,GS,+0.2984 oz", "", False, "shows oz"),
        ("ST,GS,- 12.40 g", "", False, "less than zero"),
        ("ST,OL,+  ----- g", "", False, "overload"),
        ("ST,TR,+ 20.10 g", "", False, "tare"),
        ("\x01\x02~~", "", False, "baud"),
        ("ST,GS,+  8.47 g", "8.47", True, ""),
    ):
        told = shows(client, scale, line)
        assert (told["shown"], told["taken"]) == (shown, taken) and why in told["why"], (line, told)
    page = client.get("/balance").text
    assert "ST,GS,+  8.47 g" in page and "shows oz" in page
    assert len(app.extensions["bench"].state.records) == before


def test_without_a_mark_three_equal_lines_are_steady(app: Flask, client: FlaskClient, send: Any, scale: Meter) -> None:
    attach(send, scale, steady="", moving="")
    listened(client, app)
    for n, line in enumerate(("8.46 g", "8.46 g", "8.46 g", "8.45 g", "8.45 g")):
        scale.say(line)
        until(lambda n=n: now(client)["number"] == n + 1)
        assert now(client)["taken"] == (n == 2), n
    attach(send, scale, steady="", moving="", steady_only="1")
    listened(client, app)
    assert shows(client, scale, "8.45 g")["taken"]


def test_a_weight_grows_old_and_a_cable_is_pulled_and_put_back(
    app: Flask, client: FlaskClient, send: Any, scale: Meter
) -> None:
    turned = [0.0]
    balance = app.extensions["balance"]
    was = balance._tick_s
    balance._tick_s = lambda: was() + turned[0]
    attach(send, scale)
    listened(client, app)
    assert shows(client, scale, "ST,GS,+  8.46 g")["taken"]
    turned[0] = 5.0
    told = now(client)
    assert not told["taken"] and told["shown"] == "" and "sent nothing for" in told["why"]
    scale.unplug()
    until(lambda: "was lost" in now(client)["why"] or "cannot be opened" in now(client)["why"])
    assert "cable" in now(client)["why"]


def test_one_port_has_one_owner(app: Flask, client: FlaskClient, send: Any, scale: Meter) -> None:
    """The meter of a firing cannot take the balance's port, and the other way round."""
    from tests.screens.test_firing import prepare
    from tests.serving.test_listening import listen

    firing = prepare(app)["firing"]
    attach(send, scale)
    listened(client, app)
    answer = listen(send, firing, scale)
    assert answer.status_code == 422 and "another program uses it" in answer.text
    attach(send, scale, port="")
    now(client)
    until(lambda: listen(send, firing, scale).status_code == 303)
    attach(send, scale)
    until(lambda: "another program uses it" in now(client)["why"])


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"port": "socket://192.0.2.1:1"}, "port"),
        ({"baud": "77"}, "baud"),
        ({"pattern": "number"}, "pattern"),
        ({"pattern": "#"}, "pattern"),
        ({"moving": "ST"}, "moving"),
        ({"steady": "x" * 13}, "steady"),
    ],
)
def test_what_cannot_be_set_is_said_beside_its_field(
    app: Flask, send: Any, scale: Meter, wrong: dict[str, str], field: str
) -> None:
    answer = attach(send, scale, **wrong)
    assert answer.status_code == 422 and f'id="{field}-no"' in answer.text
    assert app.extensions["bench"].state.setting("balance_line") is None


def test_a_port_that_is_not_there_is_said(client: FlaskClient, send: Any, scale: Meter) -> None:
    attach(send, scale, port="/dev/no-such-port")
    now(client)
    until(lambda: "no such port" in now(client)["why"])


def test_a_phone_sees_it_but_does_not_set_it(app: Flask, send: Any, scale: Meter, opened: Any) -> None:
    attach(send, scale)
    phone = opened.visitor()
    assert phone.ask("/balance/now").status != 200, "who is not paired sees nothing"
    phone.pair(app)

    def sees() -> bool:
        scale.say("ST,GS,+  8.46 g")  # a balance goes on saying it: one line may come before the port is open
        return '"shown":"8.46"' in phone.ask("/balance/now").text.replace(" ", "")

    until(sees)
    answer = phone.ask("/balance", {"token": phone.token(), "port": scale.port, "baud": "9600"})
    assert answer.status == 422 and "set it there" in answer.text


def typed_fast(page: Any, line: str) -> None:
    """The keys of a line, ten milliseconds apart by their own times, whatever the computer does meanwhile."""
    keys = page.context.new_cdp_session(page)
    start = time.time()
    for n, char in enumerate((*line, "Enter")):
        name = {"key": char, "text": "\r" if char == "Enter" else char}
        for what in ("keyDown", "keyUp"):
            more = name if what == "keyDown" else {"key": char}
            keys.send("Input.dispatchKeyEvent", {"type": what, "timestamp": start + n / 100, **more})
    keys.detach()


def test_a_weight_is_one_tap_and_a_typing_balance_records_nothing(
    app: Flask, keeper: Any, live: Any, browser_page: Any, send: Any, scale: Meter
) -> None:
    """The field follows a steady weight, the plate records it; a typed line fills it, and its Enter is no tap."""
    make = Making(app, keeper)
    thing = make.batch(lines(("ZnO", 8.47), ("SiO2", 3.0)), name="White")
    make.checked(thing, "before-weighing")
    attach(send, scale)
    page = browser_page
    page.goto(f"{live.url}/batch/{thing}/weigh/1")
    key, field = page.locator(".balance-key"), page.locator("[name=net_g]")
    expect(key).to_contain_text("The balance has sent nothing")
    scale.say("US,GS,+  8.20 g")
    expect(key).to_contain_text("moving")
    expect(field).to_have_value("")
    page.locator(".actionbar .plate").click()
    expect(page.locator(".complaint")).to_contain_text("is moving")
    scale.say("ST,GS,+  8.46 g")
    expect(field).to_have_value("8.46")
    expect(key).to_have_attribute("aria-pressed", "true")
    assert not make.state.own(thing, "weighed")
    scale.say("ST,GS,+  8.47 g")
    expect(field).to_have_value("8.47")
    page.locator(".actionbar .plate").click()
    page.wait_for_url("**/weigh/2")
    assert [r.body.net_g for r in make.state.own(thing, "weighed")] == [8.47]
    expect(field).to_have_value("")  # what stands there since before is not of this line
    for line, shown in (("+  2.99 g", "2.99"), ("3.00", "3.00"), ("0.106 oz", "")):
        page.locator(".actionbar .plate").focus()
        typed_fast(page, line)
        expect(field).to_have_value(shown)
    expect(page.locator(".complaint")).to_contain_text("shows oz")
    assert len(make.state.own(thing, "weighed")) == 1
