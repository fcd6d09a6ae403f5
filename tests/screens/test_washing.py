"""Rinses: water, test, waste, the salt that is left, and what must never be done."""

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.screens.powders.washing import salt_left
from bench.workshop.contents import Held
from bench.workshop.things.pigments import pigment
from bench.workshop.things.waste import waste
from tests.screens.making import Making, errors
from tests.screens.powders import TAN, last, powder


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    return Making(app, keeper)


def test_each_rinse_is_recorded_and_its_water_goes_into_the_waste(make: Making, client: FlaskClient, send: Any) -> None:
    thing = powder(make)
    bin_ = last(send("/waste/new", {"contents": "zinc"}).headers["Location"])
    assert f'value="{bin_}" selected' in client.get(f"/pigment/{thing}/wash").get_data(as_text=True)
    for n in ("1", "2"):
        fields = {"round": n, "water_ml": "200", "c": "20", "test": "pH", "result": "7", "waste": bin_}
        assert send(f"/pigment/{thing}/wash", fields).status_code == 303
    view, box = pigment(make.state, thing), waste(make.state, bin_)
    assert view is not None and view.washes == 2 and view.state == "washed"
    assert box is not None and box.volume_ml == 400 and "Zn" in box.added[-1].contents
    assert 'value="3"' in client.get(f"/pigment/{thing}/wash").get_data(as_text=True)


def test_the_salt_left_follows_the_decanting_law(app: Flask) -> None:
    # S·fⁿ: of 282 g salt with a tenth left each time 0.282 g are there after three decantings, 0.0282 after four.
    with app.test_request_context():
        found = salt_left((Held("KCl", "potassium chloride", 282.0, "washed-out"),), 3)
    assert found is not None and found.now_g == pytest.approx(0.282)
    assert found.ahead[0][:2] == (4, pytest.approx(0.0282))
    assert salt_left((), 0) is None


def test_the_page_shows_the_salt_with_its_working_and_when_to_stop(make: Making, client: FlaskClient) -> None:
    thing = powder(make, *TAN, ("KCl", 5.0, "washed-out"))
    page = client.get(f"/pigment/{thing}/wash").get_data(as_text=True)
    assert "salt in it, at most" in page and "2.50" in page and "after rinse 3" in page
    assert "silver nitrate" in page and "twice as much" in page and "Barium chloride" not in page
    assert "poisons water. Collect it, never the drain" in page


def test_chromium_warns_of_a_yellow_rinse_and_zinc_does_not(make: Making, client: FlaskClient) -> None:
    green, tan = powder(make, ("Cr2O3", 5.0)), powder(make)
    assert "Cr(VI)" in client.get(f"/pigment/{green}/wash").get_data(as_text=True)
    assert "yellow wash" not in client.get(f"/pigment/{tan}/wash").get_data(as_text=True)


def test_acid_on_a_fluoride_or_sulfide_is_stopped_but_a_fact_is_kept(make: Making, send: Any) -> None:
    thing = powder(make, ("ZrO2", 5.0), ("NaF", 1.0, "washed-out"))
    fields = {"round": "1", "acid": "HCl"}
    answer = send(f"/pigment/{thing}/wash", fields)
    assert answer.status_code == 422 and "Acid frees HF from this fluoride" in answer.get_data(as_text=True)
    assert not make.state.own(thing, "washed")
    assert send(f"/pigment/{thing}/wash", fields | {"in_fact": "1"}).status_code == 303
    assert "HCl" in make.state.own(thing, "washed")[0].body.test
    assert send(f"/pigment/{thing}/wash", {"round": "2", "acid": "none"}).status_code == 303


@pytest.mark.parametrize(
    "wrong",
    [
        {"round": ""},
        {"round": "two"},
        {"round": "0"},
        {"round": "1,5"},
        {"round": "1", "water_ml": "-3"},
        {"round": "1", "water_ml": "1,2.3"},
        {"round": "1", "c": "900"},
        {"round": "1", "test": "x" * 100_000},
        {"round": "1", "result": "a\x07b"},
        {"round": "1", "waste": "the drain"},
        {"round": "1", "acid": "aqua regia"},
    ],
)
def test_wrong_rinses_stand_beside_their_field(make: Making, send: Any, wrong: dict[str, str]) -> None:
    thing = powder(make)
    answer = send(f"/pigment/{thing}/wash", wrong)
    assert answer.status_code == 422 and errors(answer.get_data(as_text=True))
    assert not make.state.own(thing, "washed")


def test_one_rinse_sent_ten_times_is_one_and_two_pages_are_two(make: Making, send: Any) -> None:
    thing = powder(make)
    same = {"round": "1", "record_id": "01KJM6JM00000000000000ABCD"}
    assert {send(f"/pigment/{thing}/wash", same).status_code for _ in range(10)} == {303}
    assert len(make.state.own(thing, "washed")) == 1
    send(f"/pigment/{thing}/wash", {"round": "1"})
    assert len(make.state.own(thing, "washed")) == 2


def test_a_stranger_is_404(client: FlaskClient, send: Any) -> None:
    assert client.get("/pigment/x/wash").status_code == 404
    assert send("/pigment/x/wash", {"round": "1"}).status_code == 404
