"""What was recorded stands with Undo on its own thing's pages alone; a thing that is taken back leads to its form."""

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.screens.making import Making
from tests.workshop.builder import lines

KEY = 'class="head-key end undo"'
FORM = {"ware": "alumina-99", "volume_ml": "33", "mark": "two dots", "from_page": "/crucibles/new"}


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    """Earlier steps."""
    return Making(app, keeper)


def test_it_stands_on_the_pages_of_its_thing_until_that_is_recorded_on_again(
    make: Making, client: FlaskClient, send: Any, keeper: Any
) -> None:
    """Not on another batch, nor on Today; what another batch gets takes nothing away."""
    one, two = (make.batch(lines(("ZnO", 5.0), ("SiO2", 4.0)), name=name) for name in ("First", "Second"))
    for thing in (one, two):
        make.checked(thing, "before-weighing")
    send(f"/batch/{one}/weigh/1", net_g="5")
    shown = client.get(f"/batch/{one}").text
    assert KEY in shown and "5.00 g" in shown
    assert KEY not in client.get(f"/batch/{two}").text and KEY not in client.get("/").text
    send(f"/batch/{two}/weigh/1", net_g="5.01")
    keeper.turn(2)
    assert KEY in client.get(f"/batch/{one}").text
    send(f"/batch/{one}/weigh/2", net_g="4")
    assert "4.00 g" in client.get(f"/batch/{one}").text.split(KEY)[0]
    keeper.turn(31)
    assert KEY not in client.get(f"/batch/{one}").text


def test_a_new_thing_taken_back_leads_to_its_form_with_what_was_typed(client: FlaskClient, send: Any) -> None:
    made = send("/crucibles/new", FORM)
    assert made.status_code == 303
    listed = client.get("/crucibles").text
    ids = listed.split('name="ids" value="')[1].split('"')[0]
    after = send("/undo", ids=ids, back=f"/crucible/{ids}")
    assert after.location == f"/crucibles/new?typed={ids}"
    page = client.get(after.location).text
    assert 'value="33"' in page and 'value="two dots"' in page and "withdrawn" in page and KEY not in page
    assert client.get(f"/crucible/{ids}").status_code == 404


@pytest.mark.parametrize("page", ["//evil.example/", "/nowhere", "/undo"])
def test_a_form_that_is_none_of_our_pages_leads_to_today(client: FlaskClient, send: Any, page: str) -> None:
    send("/crucibles/new", FORM | {"from_page": page})
    ids = client.get("/crucibles").text.split("/crucible/")[1][:26]
    assert send("/undo", ids=ids, back=f"/crucible/{ids}").location == "/"
