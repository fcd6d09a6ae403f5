"""What stands against lighting is said once, at the planning already, and its key leads to where it is put right."""

import re
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.screens.making import Making
from tests.screens.test_first_fire import main_key
from tests.workshop.builder import lines

HELD = 'data-rule="carbon-monoxide-charge"'
PLAN = {"schedule": [{"to_c": 920.0, "hold_min": 60.0}], "cooling_mode": "in-furnace", "atmosphere": "oxidising"}


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    """Earlier steps."""
    made = Making(app, keeper)
    made.add("setting.changed", {"name": "emergency_number", "value": "000"}, "0" * 26)
    return made


def charcoal(make: Making) -> str:
    """A charge that must not be fired indoors."""
    return make.charge({"batch": make.ready_batch(lines(("CaCO3", 3.4), ("C", 0.6)), **PLAN), "g": 4.0})


def fields(page: str) -> dict[str, str]:
    """The texts of a form as it stands, with the choices that are made."""
    found = {}
    for tag in re.findall(r"<input[^>]*>", page.split('id="ask"')[1]):
        told = dict(re.findall(r'([a-z]+)="([^"]*)"', tag))
        if "name" in told and (told.get("type") != "radio" or " checked" in tag):
            found.setdefault(told["name"], told.get("value", ""))
    return found


def test_no_key_leads_in_a_circle_and_the_furnace_is_put_right(make: Making, client: FlaskClient, send: Any) -> None:
    """All checks are done: what still stands against it is no matter of the list, so no key leads there."""
    fire = make.firing(make.furnace(fuel="electric", place="indoors"), peak_c=920.0)
    make.placed(charcoal(make), fire)
    make.checked(fire, "before-lighting")
    page = client.get(f"/firing/{fire}").text
    words, way = main_key(page)
    assert words == "Furnace’s place and air" and page.count(HELD) == 1 and "Change the load" in page
    form = client.get(way).text
    assert (
        send(way.split("?")[0], **fields(form) | {"place": "outdoors"}).headers["Location"].endswith(f"/firing/{fire}")
    )
    page = client.get(f"/firing/{fire}").text
    assert HELD not in page and main_key(page)[0] == "Record switched on"


def test_checks_come_after_what_they_do_not_settle(make: Making, client: FlaskClient) -> None:
    one = charcoal(make)
    fires = [make.firing(make.furnace(fuel="electric", place=place), peak_c=920.0) for place in ("outdoors", "indoors")]
    for fire, words in zip(fires, ("Check, then switch on", "Furnace’s place and air"), strict=True):
        make.placed(one, fire)
        assert main_key(client.get(f"/firing/{fire}").text)[0] == words


def test_the_plan_of_a_firing_says_what_will_hold_it(make: Making, client: FlaskClient) -> None:
    """The furnace and the crucible are known then; the places are not lost by it."""
    one = charcoal(make)
    for place, held in (("outdoors", False), ("indoors", True)):
        make.furnace(fuel="electric", place=place)
        page = client.get(f"/firings/new?charge={one}").text
        assert (HELD in page) is held and "Save, place at" in page
