"""Dated checks of probe and balance: recorded with their date, and said beside the figure once they are overdue."""

from datetime import timedelta
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.workshop.checked import BALANCE, balance_due, checked, probe_due, probe_name
from tests.screens.making import Making
from tests.workshop.builder import Builder, lines

BOX = {"name": "Box", "fuel": "electric", "layout": "ring", "places": 3, "place": "indoors", "probe_type": "K"}


def a_fire(app: Flask, probe: str = "K") -> dict[str, str]:
    journal = app.extensions["bench"].journal
    furnace = journal.write("furnace.described", None, BOX | {"probe_type": probe}).id
    firing = journal.write("firing.planned", None, {"furnace": furnace, "segments": [{"to_c": 900, "hold_min": 60}]}).id
    journal.write("lit", firing, {"deviations": []})
    journal.write("reading", firing, {"c": 300})
    return {"furnace": furnace, "firing": firing}


def test_a_probe_that_was_never_checked_is_said_beside_the_figure_until_it_is(
    app: Flask, client: FlaskClient, send: Any, keeper: Any
) -> None:
    made = a_fire(app)
    pages = (f"/firing/{made['firing']}", f"/firing/{made['firing']}/reading")
    assert all("Probe never checked" in client.get(page).text for page in pages)
    answer = send(f"/furnace/{made['furnace']}/check", {"how": "cone", "true_c": "999", "shown_c": "1006"})
    assert answer.status_code == 303
    assert not any("never checked" in client.get(page).text for page in pages)
    assert "A cone: +7 °C" in client.get(f"/furnace/{made['furnace']}").text
    keeper.turn(91 * 24 * 60)
    assert all("Probe not checked for 91 days" in client.get(page).text for page in pages)


def test_a_furnace_without_a_probe_asks_for_no_check(app: Flask, client: FlaskClient) -> None:
    made = a_fire(app, probe="none")
    assert "checked" not in client.get(f"/firing/{made['firing']}").text


def test_the_balance_is_checked_and_overdue_after_a_month(
    app: Flask, client: FlaskClient, send: Any, keeper: Any
) -> None:
    make = Making(app, keeper)
    batch = make.batch(lines(("ZnO", 5.0)))
    make.checked(batch, "before-weighing")
    step = f"/batch/{batch}/weigh/1"
    assert "Balance never checked" in client.get(step, follow_redirects=True).text
    assert send("/balance/check", {"true_g": "50", "shown_g": "50,02"}).status_code == 303
    assert "never checked" not in client.get(step, follow_redirects=True).text
    assert "50 g shown as 50.02 g" in client.get("/balance/check").text
    keeper.turn(31 * 24 * 60)
    assert "Balance not checked for 31 days" in client.get(step, follow_redirects=True).text


@pytest.mark.parametrize(
    ("fields", "wrong"),
    [
        ({}, "true_g"),
        ({"true_g": "0", "shown_g": "1"}, "true_g"),
        ({"true_g": "fifty", "shown_g": "1"}, "true_g"),
        ({"true_g": "50"}, "shown_g"),
        ({"true_g": "50", "shown_g": "-1"}, "shown_g"),
    ],
)
def test_a_check_that_cannot_be_read_keeps_what_was_typed(send: Any, fields: dict[str, str], wrong: str) -> None:
    page = send("/balance/check", fields)
    assert page.status_code == 422 and f'id="{wrong}' in page.text
    assert all(value in page.text for value in fields.values())


def test_a_probe_s_check_is_refused_without_its_way_and_for_a_burner(
    app: Flask, client: FlaskClient, send: Any
) -> None:
    made = a_fire(app)
    assert send(f"/furnace/{made['furnace']}/check", {"true_c": "999", "shown_c": "990"}).status_code == 422
    burner = app.extensions["bench"].journal.write("burner.described", None, {"name": "Long", "fuel": "gas"}).id
    assert "A burner has no probe." in client.get(f"/furnace/{burner}/check").text
    assert send(f"/furnace/{burner}/check", {"how": "cone", "true_c": "1", "shown_c": "1"}).status_code == 404
    assert client.get("/furnace/none/check").status_code == 404


def test_the_newest_check_by_its_own_date_counts(app: Flask) -> None:
    """One entered late is older than one that was made since; a value of another make is no check."""
    journal = app.extensions["bench"].journal
    for shown in (50.0, 50.1):
        journal.write("setting.changed", "0" * 26, {"name": BALANCE, "value": {"how": "w", "true": 50, "shown": shown}})
    state = journal.state
    last = checked(state, BALANCE)
    assert last is not None and last.off == pytest.approx(0.1)
    assert balance_due(state, last.when + timedelta(days=29)) is None
    assert balance_due(state, last.when + timedelta(days=30)) is not None
    journal.write("setting.changed", "0" * 26, {"name": BALANCE, "value": "other"})
    assert checked(journal.state, BALANCE) is None
    b = Builder()
    furnace = b.furnace()
    assert probe_name(furnace).endswith(furnace)
    assert probe_due(b.state, "0" * 26, last.when) is None
