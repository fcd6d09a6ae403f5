"""What was recorded stands with Undo on its own thing's pages alone; a thing that is taken back leads to its form."""

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.screens.making import Making
from tests.screens.powders import powder
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


def offered(page: str) -> str:
    """The id of the record that a page offers to take back."""
    return page.split('class="undo-form"')[1].split('name="ids" value="')[1][:26]


def test_it_names_the_last_record_of_the_chain_and_no_older_one(
    make: Making, client: FlaskClient, send: Any, keeper: Any
) -> None:
    """A powder is washed, then painted: its pages offer the swatch, and after that nothing of before."""
    thing = powder(make)
    assert send(f"/pigment/{thing}/wash", {"round": "1"}).status_code == 303
    assert offered(client.get(f"/pigment/{thing}/wash").text) == make.state.rows(thing, "washed")[-1].id
    keeper.turn(1)
    painted = send(
        f"/pigment/{thing}/swatch", {"binder": "linseed oil", "words": "warm", "from_page": f"/pigment/{thing}/swatch"}
    )
    assert painted.status_code == 303
    [swatch] = make.state.rows(thing, "swatch.made")
    judge = f"/pigment/{thing}/judge"
    assert offered(client.get(judge).text) == swatch.id
    keeper.turn(1)
    make.swatch(thing)  # from elsewhere: it is the last one now
    assert KEY not in client.get(judge).text
    after = send("/undo", ids=swatch.id, back=judge)
    assert after.location == f"/pigment/{thing}/swatch?typed={swatch.id}"
    assert "warm" in client.get(after.location).text


def test_from_the_form_that_it_led_to_it_leads_back_to_its_own(make: Making, client: FlaskClient, send: Any) -> None:
    batch = make.batch(lines(("ZnO", 5.0), ("SiO2", 4.0)))
    make.checked(batch, "before-weighing")
    first = f"/batch/{batch}/weigh/1"
    send(first, net_g="5", from_page=first)
    led = f"/batch/{batch}/weigh/2"
    ids = offered(client.get(led).text)
    assert send("/undo", ids=ids, back=led).location == first
    send(first, net_g="5.01", from_page=first)
    ids = offered(client.get(f"/batch/{batch}").text)
    assert send("/undo", ids=ids, back=f"/batch/{batch}").location == f"/batch/{batch}"


@pytest.mark.parametrize("page", ["//evil.example/", "/nowhere", "/undo"])
def test_a_form_that_is_none_of_our_pages_leads_to_today(client: FlaskClient, send: Any, page: str) -> None:
    send("/crucibles/new", FORM | {"from_page": page})
    ids = client.get("/crucibles").text.split("/crucible/")[1][:26]
    assert send("/undo", ids=ids, back=f"/crucible/{ids}").location == "/"
