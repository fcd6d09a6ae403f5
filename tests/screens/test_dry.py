"""Drying: two equal masses, and no solvent in an oven."""

import re
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.workshop.things.batches import batch
from bench.workshop.things.charges import charge
from tests.screens.making import Making
from tests.workshop.builder import lines

ID = "01K9V0000000000000000000A1"
ZINC = (("ZnO", 5.7), ("CoO", 1.5))


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    """Earlier steps."""
    return Making(app, keeper)


def paste(make: Making, medium: str = "water") -> str:
    """A batch that was ground in a liquid."""
    thing = make.batch(lines(*ZINC), name="green")
    make.weigh(thing, *(g for _, g in ZINC))
    make.mixed(thing, medium)
    return thing


def dried(make: Making, thing: str) -> list[Any]:
    """What stands recorded of it."""
    return [r.body for r in make.state.by_time(thing, "dried")]


def test_two_equal_masses_show_it_dry(make: Making, keeper: Any, client: FlaskClient, send: Any) -> None:
    """9.10, 7.22 and 7.21 g: steady after the third, within 0.2 %, and then it may be loaded."""
    thing = paste(make)
    assert "Until two weighings an hour apart agree." in client.get(f"/batch/{thing}/dry").text
    for gross in ("109.10", "107.22", "107.21"):
        answer = send(f"/batch/{thing}/dry", way="oven", c="110", minutes="60", gross_g=gross, tare_g="100")
        assert answer.status_code == 303
        steady = gross == "107.21"
        assert ("Steady: it is dry" if steady else "Weigh again at") in client.get(f"/batch/{thing}/dry").text
        assert answer.location == f"/batch/{thing}/" + ("load" if steady else "dry")
        keeper.turn(60)
    assert [body.mass_g for body in dried(make, thing)] == pytest.approx([9.10, 7.22, 7.21])
    assert batch(make.state, thing).damp is False  # type: ignore[union-attr]


def test_a_dish_is_asked_for_once_and_remembered(make: Making, keeper: Any, client: FlaskClient, send: Any) -> None:
    """7.2 g in a dish of 51.30 g: without the empty dish the mass is asked; with it the next weighing has it."""
    thing = paste(make)
    page = f"/batch/{thing}/dry"
    shown = client.get(page).text
    assert shown.index('id="tare_g"') < shown.index('id="gross_g"') < shown.index("<details")
    asked = send(page, way="oven", gross_g="58.50")
    assert asked.status_code == 200 and "Is it right? 58.5 g: without its vessel" in asked.text
    assert "7.20 g went in dry, and no empty vessel was typed" in asked.text and not dried(make, thing)
    assert send(page, way="oven", gross_g="58.50", tare_g="51.30").status_code == 303
    assert [(body.mass_g, body.tare_g) for body in dried(make, thing)] == [(pytest.approx(7.2), 51.3)]
    keeper.turn(60)
    shown = client.get(page).text
    assert re.search(r'id="tare_g"[^>]*value="51.3"', shown) and "Balance shows the same: 58.50 g" in shown
    assert send(page, way="oven", same="1", tare_g="51.3").location == f"/batch/{thing}/load"
    keeper.turn(1)
    assert send(f"/batch/{thing}/grind", medium="water", minutes="5").status_code == 303
    assert 'value="51.3"' not in client.get(page).text, "wetted again, it may lie in another dish"


def test_the_same_mass_counts_only_an_hour_later(make: Making, keeper: Any, client: FlaskClient, send: Any) -> None:
    """A minute short of the hour the page names the time, and hides *same* until then; on the hour that is dry."""
    thing = paste(make)
    vessel = make.crucible(40.0)
    filled = make.charge({"batch": thing, "g": 7.2}, crucible=vessel, wet_g=9.0)
    page, same = f"/charge/{filled}/dry", {"way": "oven", "same": "1", "tare_g": "40"}
    begun = datetime.fromtimestamp(keeper.ms / 1000, UTC)
    assert send(page, way="oven", gross_g="47.20", tare_g="40").location == page
    again = (begun + timedelta(minutes=60)).strftime("%H:%M")
    keeper.turn(59)
    shown = client.get(page).text
    assert f"Weigh again at {again}" in shown and f'<div data-from="{keeper.ms + 60_000}" hidden>' in shown
    assert send(page, same).location == page and charge(make.state, filled).damp is True  # type: ignore[union-attr]
    keeper.turn(1)
    shown = client.get(page).text
    assert "Balance shows the same" in shown and "data-from" not in shown
    assert send(page, same).location == f"/charge/{filled}/place"
    assert charge(make.state, filled).damp is False  # type: ignore[union-attr]


def test_what_an_earlier_program_took_for_dry_stays_so_where_it_was_used(make: Making, keeper: Any) -> None:
    """Two masses a minute apart, recorded before the hour was asked: the filling of then is dry, what waits is damp."""
    thing = paste(make)
    for _ in range(2):
        make.add("dried", {"where": "dish", "mass_g": 7.2}, thing)
        keeper.turn(1)
    filled = make.charge({"batch": thing, "g": 4.0})
    assert charge(make.state, filled).damp is False  # type: ignore[union-attr]
    assert batch(make.state, thing).damp is True  # type: ignore[union-attr]


def test_no_solvent_in_an_oven(make: Making, keeper: Any, client: FlaskClient, send: Any) -> None:
    """An acetone paste leaves its acetone in the open air; then, steady, the oven is free."""
    thing = paste(make, "acetone")
    said = client.get(f"/batch/{thing}/dry").text
    assert "Not in an oven" in said and 'value="oven"' not in said and 'value="open-air" checked' in said
    refused = send(f"/batch/{thing}/dry", way="oven", c="110", gross_g="7.21")
    assert refused.status_code == 422 and "Solvent in the paste ignites" in refused.text and not dried(make, thing)
    near = send(f"/batch/{thing}/dry", way="open-air", gross_g="7.21")
    assert near.status_code == 422 and "stay 10 m off" in near.text
    for _ in range(2):
        assert send(f"/batch/{thing}/dry", way="open-air", gross_g="7.21", no_flame="1").status_code == 303
        keeper.turn(60)
    assert 'value="oven"' in client.get(f"/batch/{thing}/dry").text
    assert send(f"/batch/{thing}/dry", way="oven", c="110", gross_g="7.21").status_code == 303


def test_in_the_crucible(make: Making, keeper: Any, client: FlaskClient, send: Any) -> None:
    """A damp charge: the crucible's tare is there, and the charge is dry after two equal masses."""
    thing = paste(make)
    vessel = make.crucible(40.0)
    filled = make.charge({"batch": thing, "g": 7.2}, crucible=vessel, wet_g=9.0)
    assert 'value="40"' in client.get(f"/charge/{filled}/dry").text
    for gross, then in (("48.40", "dry"), ("47.20", "dry"), ("47.19", "place")):
        sent = {"way": "oven", "c": "110", "gross_g": gross, "tare_g": "40"}
        assert send(f"/charge/{filled}/dry", sent).location == f"/charge/{filled}/{then}"
        assert ("More than went in" in client.get(f"/charge/{filled}/dry").text) is (gross == "48.40")
        keeper.turn(60)
    assert charge(make.state, filled).damp is False  # type: ignore[union-attr]
    assert "Place for a firing" in client.get(f"/charge/{filled}/dry").text


def test_a_solvent_charge_keeps_out_of_the_oven(make: Making, client: FlaskClient, send: Any) -> None:
    """The same in a crucible."""
    filled = make.charge({"batch": paste(make, "alcohol"), "g": 7.2}, wet_g=9.0)
    assert "Not in an oven" in client.get(f"/charge/{filled}/dry").text
    assert send(f"/charge/{filled}/dry", way="oven", c="110", gross_g="50").status_code == 422
    assert send(f"/charge/{filled}/dry", way="oven", c="110", gross_g="9", happened="08:00").status_code == 303


def test_an_opened_charge_is_not_dried(make: Making, client: FlaskClient, send: Any) -> None:
    """It is no longer in its crucible."""
    filled = make.charge({"batch": paste(make), "g": 7.2}, wet_g=9.0)
    make.opened(filled)
    assert "no longer in its crucible" in client.get(f"/charge/{filled}/dry").text
    assert send(f"/charge/{filled}/dry", way="open-air", gross_g="50").status_code == 422


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({}, "Choose one of these"),
        ({"way": "sun", "gross_g": "7"}, "Choose one of these"),
        ({"way": "oven", "c": "110"}, "at least how long"),
        ({"way": "oven", "c": "1100", "gross_g": "7"}, "At most"),
        ({"way": "oven", "c": "warm", "gross_g": "7"}, "is not a number"),
        ({"way": "open-air", "gross_g": "-7"}, "Enter 0 or more"),
        ({"way": "open-air", "gross_g": "7", "tare_g": "8"}, "must weigh less"),
        ({"way": "open-air", "gross_g": "1.007,2"}, "one decimal mark only"),
        ({"way": "open-air", "gross_g": "7", "happened": "noon"}, "hours and minutes"),
    ],
)
def test_what_cannot_be_used(make: Making, send: Any, sent: dict[str, str], said: str) -> None:
    """A sentence beside the field, nothing recorded."""
    thing = paste(make)
    answer = send(f"/batch/{thing}/dry", sent)
    assert answer.status_code == 422 and said in answer.text and not dried(make, thing)


def test_sent_twice_it_is_one(make: Making, send: Any) -> None:
    """One submit is one record, so it cannot pass for two equal weighings."""
    thing = paste(make)
    for _ in range(2):
        sent = {"record_id": ID, "way": "open-air", "gross_g": "7.2"}
        assert send(f"/batch/{thing}/dry", sent).status_code == 303
    assert len(dried(make, thing)) == 1 and batch(make.state, thing).damp  # type: ignore[union-attr]


def test_unknown_things(make: Making, client: FlaskClient, send: Any) -> None:
    """A calm page, also for a batch where a charge is asked for."""
    for path in (f"/batch/{ID}/dry", f"/charge/{ID}/dry", f"/charge/{paste(make)}/dry"):
        assert client.get(path).status_code == 404
        assert send(path, way="oven").status_code == 404
