"""Two phones and the laptop on one batch: each line once, whoever weighed it; two that differ are shown as such."""

from typing import Any

from flask import Flask
from flask.testing import FlaskClient

from bench.workshop.things.batches import batch
from tests.screens.making import Making
from tests.screens.test_outbox import AHEAD_MS, START, Phone


def test_two_phones_and_the_laptop_weigh_one_batch(app: Flask, client: FlaskClient, keeper: Any, send: Any) -> None:
    make = Making(app, keeper)
    lines = [{"line": n, "formula": formula, "target_g": 5.0} for n, formula in enumerate(("ZnO", "Fe2O3", "SiO2"), 1)]
    thing = make.batch(lines, name="Together")
    one, two = Phone(app, "kiln"), Phone(app, "table")

    def by_phone(phone: Phone, line: int, g: str, minute: int) -> str:
        at_ms = START + AHEAD_MS + minute * 60_000
        answer = phone.send(f"/batch/{thing}/weigh/{line}", {"net_g": g, "in_fact": "1"}, at_ms)
        assert answer.status_code < 300, answer.get_data(as_text=True)
        return str(answer.get_json()["status"])

    keeper.turn(30)
    assert by_phone(one, 1, "5.00", 1) == by_phone(two, 2, "5.01", 2) == "kept"
    assert send(f"/batch/{thing}/weigh/3", {"net_g": "4.99", "in_fact": "1"}).status_code == 303
    view = batch(make.state, thing)
    assert view is not None and [line.weighed_g for line in view.lines] == [5.0, 5.01, 4.99]
    assert len({row.device for row in make.state.own(thing, "weighed")}) == 3

    assert by_phone(two, 1, "5.20", 3) == "kept", "a fact is not refused for being there already"
    assert len(make.state.own(thing, "weighed")) == 4
    text = client.get(f"/thing/{thing}").get_data(as_text=True)
    assert "5.2 g" in text and "differ" in text
