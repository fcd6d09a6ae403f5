"""A step that is held: its reasons on the laptop's page and in the answer to a phone, and what goes on all the same."""

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.screens.making import Making
from tests.screens.test_outbox import AHEAD_MS, Phone

DAMP = "Not recorded as dry: steam bursts a crucible. Dry it first."


class Yard:
    """A fire that burns, and a damp charge that no firing has."""

    def __init__(self, app: Flask, keeper: Any) -> None:
        self.make, self.keeper = Making(app, keeper), keeper
        self.pot = self.make.crucible()
        self.make.coded(self.pot, "GHJKMN")
        self.batch = self.make.ready_batch()
        self.charge = self.make.charge({"batch": self.batch, "g": 5.0}, crucible=self.pot, wet_g=7.0)
        furnace = self.make.furnace(name="Box", layout="grid", tiers=1, rows=2, columns=2)
        self.fire = self.make.firing(furnace)
        self.make.lit(self.fire)

    def kinds(self, kind: str) -> int:
        return len(self.make.state.rows(self.charge, kind))


@pytest.fixture
def yard(app: Flask, keeper: Any) -> Yard:
    return Yard(app, keeper)


def sends(phone: Phone, yard: Yard, path: str, **fields: str) -> Any:
    """As a phone sends a form whose page waits for the answer."""
    return phone.send(path, fields, yard.keeper.ms + AHEAD_MS, awaited=True)


def test_a_phone_is_told_why_a_charge_is_not_let_in_and_how_to_say_that_it_is_in(app: Flask, yard: Yard) -> None:
    phone, path = Phone(app), f"/firing/{yard.fire}/in"
    answer = sends(phone, yard, path, charge=yard.charge)
    assert answer.status_code == 422 and answer.json["status"] == "refused"
    assert answer.json["against"] == [DAMP, "It is not placed in this firing. Place it first."]
    assert answer.json["already"] == "Already in: enter it"
    assert yard.kinds("went.in") == 0
    assert sends(phone, yard, path, charge=yard.charge, in_fact="1").json["status"] == "kept"
    assert yard.kinds("went.in") == 1


def test_a_damp_charge_gets_no_place_in_a_fire_that_burns(app: Flask, yard: Yard, client: FlaskClient) -> None:
    """A place in a furnace that burns is in the heat at once."""
    path = f"/charge/{yard.charge}/place"
    answer = sends(Phone(app), yard, path, firing=yard.fire, place="1.1.1")
    assert answer.json["against"] == [DAMP] and answer.json["already"] == "Already done: enter it"
    assert yard.kinds("placed") == 0
    assert DAMP in client.get(f"{path}?firing={yard.fire}").get_data(as_text=True)
    planned = yard.make.firing(peak_c=900)
    assert sends(Phone(app, "yard"), yard, path, firing=planned, place="1.1.1").json["status"] == "kept"


def test_a_reading_that_no_furnace_makes_is_asked_in_one_place(app: Flask, yard: Yard) -> None:
    """420 °C, two minutes later 31 °C: the question with its two answers; nothing is refused beside a field."""
    phone, path = Phone(app), f"/firing/{yard.fire}/reading"
    yard.make.reading(yard.fire, 420)
    yard.keeper.turn(2)
    answer = sends(phone, yard, path, c="31", unit="C")
    assert (answer.json["held"], answer.json["again"]) == ("31 °C?", "Type it again") and answer.json["errors"] == {}
    assert answer.json["already"] and len(answer.json["against"]) == 1


def test_a_firing_that_burns_is_not_closed_by_saying_that_it_was(app: Flask, yard: Yard) -> None:
    answer = sends(Phone(app), yard, f"/firing/{yard.fire}/close")
    assert answer.json["against"] and answer.json["already"] == ""


def test_what_went_in_against_a_rule_stands_on_its_firing_and_on_today(
    app: Flask, yard: Yard, client: FlaskClient
) -> None:
    said = "GHJKM-N went into the heat without being recorded dry."
    assert said not in client.get("/").get_data(as_text=True)
    yard.make.went_in(yard.fire, yard.charge)
    for path in ("/", f"/firing/{yard.fire}"):
        assert said in client.get(path).get_data(as_text=True), path


def test_two_records_that_disagree_stand_on_today(app: Flask, yard: Yard, client: FlaskClient) -> None:
    make = yard.make
    batch = make.batch(name="Two minds")
    make.weigh(batch, 8.0)
    assert "Two records of Two minds disagree" not in client.get("/").get_data(as_text=True)
    make.add("weighed", {"line": 1, "net_g": 9.0}, batch)
    page = client.get("/").get_data(as_text=True)
    assert "Two records of Two minds disagree" in page and f"/thing/{batch}" in page
