"""A powder ground again and weighed dry."""

import re
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.workshop.things.charges import powder_is_damp
from bench.workshop.things.pigments import pigment
from tests.screens.making import Making, errors
from tests.screens.powders import powder


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    return Making(app, keeper)


def test_ground_wet_it_is_damp_until_it_is_weighed_dry(make: Making, send: Any, keeper: Any) -> None:
    thing = powder(make)
    keeper.turn(5)
    fields = {"medium": "water", "minutes": "12,5", "sieve_um": "63", "held_back_g": "0.4"}
    assert send(f"/pigment/{thing}/grind", fields).status_code == 303
    body = make.state.own(thing, "ground")[0].body
    assert (body.medium, body.minutes, body.sieve_um, body.held_back_g) == ("water", 12.5, 63, 0.4)
    assert powder_is_damp(make.state, thing)
    keeper.turn(60)
    assert send(f"/pigment/{thing}/dry", {"net_g": "9,4", "drying": "oven"}).status_code == 303
    view = pigment(make.state, thing)
    assert not powder_is_damp(make.state, thing) and view is not None and (view.state, view.dry_g) == ("dry", 9.4)


def test_a_liquid_that_burns_is_kept_from_the_flame(make: Making, client: FlaskClient, send: Any) -> None:
    thing = powder(make)
    answer = send(f"/pigment/{thing}/grind", {"medium": "acetone"})
    assert answer.status_code == 422 and "10 m off" in answer.get_data(as_text=True)
    assert send(f"/pigment/{thing}/grind", {"medium": "acetone", "no_flame": "1"}).status_code == 303
    stopped = send(f"/pigment/{thing}/dry", {"net_g": "9", "drying": "oven", "no_flame": "1"})
    assert stopped.status_code == 422 and not make.state.own(thing, "dry.weighed")
    aired = {"net_g": "9", "drying": "open-air", "no_flame": "1"}
    assert send(f"/pigment/{thing}/dry", aired).status_code == 303


def test_another_liquid_is_named(make: Making, send: Any) -> None:
    thing = powder(make)
    assert errors(send(f"/pigment/{thing}/grind", {"medium": "other"}).get_data(as_text=True)) == ["Say which liquid."]
    fields = {"medium": "other", "medium_name": "white spirit", "no_flame": "1"}
    assert send(f"/pigment/{thing}/grind", fields).status_code == 303
    assert make.state.own(thing, "ground")[0].body.medium == "white spirit"


def was(client: FlaskClient, thing: str) -> str:
    page = client.get(f"/pigment/{thing}/dry").get_data(as_text=True)
    return page.split('name="was" value="')[1].split('"')[0]


def test_a_second_mass_takes_the_place_of_the_one_it_was_shown(
    make: Making, client: FlaskClient, send: Any, keeper: Any
) -> None:
    thing = powder(make)
    keeper.turn(5)
    send(f"/pigment/{thing}/dry", {"net_g": "9.4", "was": was(client, thing)})
    stale = was(client, thing)
    send(f"/pigment/{thing}/dry", {"net_g": "9.3", "was": stale})
    slot = make.state.slot(thing, "dry.weighed")
    assert not slot.disagrees and slot.body.net_g == 9.3


def test_two_browsers_that_weigh_it_at_once_disagree(make: Making, client: FlaskClient, send: Any) -> None:
    thing = powder(make)
    one = two = was(client, thing)
    send(f"/pigment/{thing}/dry", {"net_g": "9.4", "was": one})
    send(f"/pigment/{thing}/dry", {"net_g": "9.9", "was": two})
    assert make.state.slot(thing, "dry.weighed").disagrees
    page = client.get(f"/pigment/{thing}").get_data(as_text=True)
    assert "Records disagree" in page and "dry.weighed" not in page
    assert ">9.4 g</b>" in page and ">9.9 g</b>" in page  # side by side, what differs alone
    [way] = set(re.findall(f"/thing/{thing}/correct/[0-9A-Z]+", page))
    assert f'href="{way}"' in client.get("/").get_data(as_text=True)  # from Today in one tap
    assert client.get(way).get_data(as_text=True).count("Take this one") == 2


def test_washed_after_it_was_dry_it_is_weighed_anew(make: Making, client: FlaskClient, send: Any, keeper: Any) -> None:
    thing = powder(make)
    keeper.turn(5)
    send(f"/pigment/{thing}/dry", {"net_g": "9.4", "was": ""})
    keeper.turn(5)
    send(f"/pigment/{thing}/wash", {"round": "1"})
    keeper.turn(90)
    send(f"/pigment/{thing}/dry", {"net_g": "9.1", "was": was(client, thing)})
    view = pigment(make.state, thing)
    assert view is not None and (view.state, view.dry_g) == ("dry", 9.1)
    assert not make.state.slot(thing, "dry.weighed").disagrees


@pytest.mark.parametrize(
    ("step", "wrong"),
    [
        ("grind", {}),
        ("grind", {"medium": "soup"}),
        ("grind", {"medium": "dry", "minutes": "-1"}),
        ("grind", {"medium": "dry", "sieve_um": "0"}),
        ("grind", {"medium": "dry", "held_back_g": "lots"}),
        ("dry", {}),
        ("dry", {"net_g": "1.2,3"}),
        ("dry", {"net_g": "99999999"}),
        ("dry", {"net_g": "3", "drying": "sun"}),
    ],
)
def test_what_is_wrong_stands_beside_its_field(make: Making, send: Any, step: str, wrong: dict[str, str]) -> None:
    thing = powder(make)
    before = len(make.state.records)
    answer = send(f"/pigment/{thing}/{step}", wrong)
    assert answer.status_code == 422 and errors(answer.get_data(as_text=True))
    assert len(make.state.records) == before


def test_strangers_are_404(client: FlaskClient, send: Any) -> None:
    for step in ("grind", "dry"):
        assert client.get(f"/pigment/x/{step}").status_code == 404
        assert send(f"/pigment/x/{step}", {"net_g": "1", "medium": "dry"}).status_code == 404
