"""Waste containers: set up, filled, collected; and what was gathered after a breakage."""

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.workshop.things.waste import waste
from tests.screens.making import Making, errors
from tests.screens.powders import last, powder


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    return Making(app, keeper)


def set_up(send: Any, contents: str = "rinses with zinc") -> str:
    return last(send("/waste/new", {"contents": contents}).headers["Location"])


def test_a_container_bears_a_code_and_sums_what_went_in(make: Making, client: FlaskClient, send: Any) -> None:
    thing = set_up(send)
    source = powder(make)
    make.add("waste.added", {"container": thing, "contents": "rinse", "volume_ml": 200, "from": source}, thing)
    for fields in ({"contents": "rinse", "volume_ml": "150,5"}, {"contents": "filter cake", "mass_g": "12"}):
        assert send(f"/waste/{thing}", fields).status_code == 303
    view = waste(make.state, thing)
    assert view is not None and view.code and view.volume_ml == 350.5 and view.mass_g == 12
    page = client.get(f"/waste/{thing}").get_data(as_text=True)
    assert "350.5" in page and "2 times" in page and f"/pigment/{source}" in page
    assert f"/waste/{thing}" in client.get("/waste").get_data(as_text=True)


def test_what_was_collected_says_so_and_comes_last(make: Making, client: FlaskClient, send: Any) -> None:
    first, second = set_up(send, "full"), set_up(send, "new")
    path = f"/waste/{first}/collected"
    assert 'value="2026-11-' in client.get(path).get_data(as_text=True)
    for wrong in (
        {"by": "", "date": "2026-11-12"},
        {"by": "the carrier", "date": "soon"},
        {"by": "x" * 500, "date": ""},
    ):
        answer = send(path, wrong)
        assert answer.status_code == 422 and errors(answer.get_data(as_text=True))
    assert send(path, {"by": "the carrier", "date": "2026-11-12"}).status_code == 303
    assert "Collected by the carrier" in client.get(f"/waste/{first}").get_data(as_text=True)
    home = client.get("/waste").get_data(as_text=True)
    assert home.index(f"/waste/{second}") < home.index(f"/waste/{first}")


@pytest.mark.parametrize(
    "wrong",
    [{}, {"contents": "x" * 300}, {"contents": "rinse", "volume_ml": "-1"}, {"contents": "rinse", "mass_g": "heavy"}],
)
def test_what_is_wrong_stands_beside_its_field(make: Making, send: Any, wrong: dict[str, str]) -> None:
    thing = set_up(send)
    answer = send(f"/waste/{thing}", wrong)
    assert answer.status_code == 422 and errors(answer.get_data(as_text=True))
    assert len(make.state.rows(thing, "waste.added")) == 1


def test_one_submit_sent_ten_times_is_one(make: Making, send: Any) -> None:
    thing = set_up(send)
    same = {"contents": "rinse", "volume_ml": "10", "record_id": "01KJM6JM00000000000000ABCD"}
    assert {send(f"/waste/{thing}", same).status_code for _ in range(10)} == {303}
    new = {"contents": "cakes", "record_id": "01KJM6JM00000000000000ABCE"}
    assert len({send("/waste/new", new).headers["Location"] for _ in range(10)}) == 1
    view = waste(make.state, thing)
    assert view is not None and view.volume_ml == 10 and len(make.state.things("waste")) == 2


def test_strangers_are_404(client: FlaskClient, send: Any, make: Making) -> None:
    other = powder(make)
    for path in ("/waste/x", "/waste/x/collected", f"/waste/{other}"):
        assert client.get(path).status_code == 404
        assert send(path, {"contents": "rinse"}).status_code == 404


def test_the_code_of_a_powder_is_filled_in_for_gathering(client: FlaskClient) -> None:
    assert 'value="7K3MQ7"' in client.get("/gather?code=7K3MQ7").get_data(as_text=True)


def test_what_is_left_of_a_broken_crucible_is_gathered_with_its_lineage(make: Making, send: Any) -> None:
    vessel = make.crucible()
    make.coded(vessel, "T5C7HJ")
    charge = make.charge({"batch": make.ready_batch(), "g": 10.0}, crucible=vessel)
    make.fired(charge)
    answer = send("/gather", {"code.0": "t5c7h-j", "g.0": "6,5"})
    made = last(answer.headers["Location"])
    body = make.state.slot(made, "gathered").body
    assert [(one.charge, one.g) for one in body.sources] == [(charge, 6.5)] and make.state.code_of(made)


def test_what_would_clash_is_held_until_it_is_said_to_be_in(make: Making, client: FlaskClient, send: Any) -> None:
    """Acid to a sulfide: held with the reason; only *It is in already* records it, and then a flag stays in sight."""
    thing = set_up(send, "ultramarine rinses")
    held = send(f"/waste/{thing}", {"contents": "acid rinse", "volume_ml": "10"})
    text = held.get_data(as_text=True)
    assert held.status_code == 422 and "Acid frees H2S from this sulfide" in text and "Already in: enter it" in text
    assert len(make.state.rows(thing, "waste.added")) == 1
    assert send(f"/waste/{thing}", {"contents": "acid rinse", "volume_ml": "10", "in_fact": "1"}).status_code == 303
    assert "Went in although: Acid frees H2S" in client.get(f"/waste/{thing}").get_data(as_text=True)


def test_a_container_shows_how_full_it_is(make: Making, client: FlaskClient, send: Any) -> None:
    thing = last(send("/waste/new", {"contents": "rinses", "capacity_ml": "1000"}).headers["Location"])
    assert send(f"/waste/{thing}", {"contents": "rinse", "volume_ml": "250"}).status_code == 303
    assert "25 % full: 250 of 1000 mL" in client.get(f"/waste/{thing}").get_data(as_text=True)
    assert "25 % full" in client.get("/waste").get_data(as_text=True)
    over = send(f"/waste/{thing}", {"contents": "rinse", "volume_ml": "751"})
    assert over.status_code == 422 and "It would overflow" in over.get_data(as_text=True)


def test_an_acid_rinse_and_a_powder_thrown_away_are_held_too(make: Making, send: Any) -> None:
    thing, sulfides = powder(make), set_up(send, "ultramarine rinses")
    answer = send(f"/pigment/{thing}/wash", {"round": "1", "acid": "HCl", "waste": sulfides})
    assert answer.status_code == 422 and "Acid frees H2S" in answer.get_data(as_text=True)
    fluoride, acids = powder(make, ("ZrO2", 5.0), ("NaF", 1.0)), set_up(send, "acid rinses")
    thrown = send(f"/pigment/{fluoride}/judge", {"verdict": "discard", "waste": acids})
    assert thrown.status_code == 422 and "Acid frees HF" in thrown.get_data(as_text=True)
    assert len(make.state.rows(acids, "waste.added")) == 1
