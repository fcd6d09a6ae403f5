"""A mass or a time that can hardly be right is asked once more, on whichever form it was typed."""

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.screens.making import Making

SURE = "It is right: record"


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    """Earlier steps."""
    return Making(app, keeper)


def cool_charge(make: Making) -> str:
    """16 g in a crucible of 40 g, out of the fire and cool."""
    filled = make.charge({"batch": make.ready_batch(), "g": 16.0}, crucible=make.crucible(40.0))
    firing = make.firing()
    make.placed(filled, firing)
    make.lit(firing)
    make.add("came.out", {"firing": firing, "charge": filled}, filled)
    make.add("touched", {"thing": filled, "surface_c": 22.0}, filled)
    return filled


def opened(make: Making, thing: str) -> list[float]:
    """The masses that stand recorded of its opening."""
    return [one.body.gross_g for one in make.state.by_time(thing, "opened")]


def test_ten_times_too_much_is_asked_and_nothing_is_recorded(make: Making, send: Any) -> None:
    filled = cool_charge(make)
    path, typed = f"/charge/{filled}/open", {"tare_after_g": "40", "fate": "clean", "more_signs": "blue"}
    asked = send(path, typed, gross_g="560")
    assert asked.status_code == 200 and not opened(make, filled)
    assert "10 times what is expected" in asked.text and "At most" in asked.text
    assert SURE in asked.text and "Type it again" in asked.text
    assert 'value="560"' in asked.text and 'value="blue"' in asked.text  # what was typed stays
    again = send(path, typed, gross_g="561", sure="gross_g=560")
    assert SURE in again.text and not opened(make, filled)
    assert send(path, typed, gross_g="561", sure="gross_g=561").status_code == 303
    assert opened(make, filled) == [561.0]


def test_what_can_be_is_recorded_at_once(make: Making, send: Any) -> None:
    filled = cool_charge(make)
    assert send(f"/charge/{filled}/open", gross_g="56", tare_after_g="40", fate="clean").status_code == 303
    assert opened(make, filled) == [56.0]


def test_a_dry_mass_is_asked_and_its_repeat_is_not(make: Making, send: Any) -> None:
    """Sent again by a phone that did not hear the answer, it is the same record and no new question."""
    powder = make.opened(cool_charge(make), 49.93, tare_after_g=40.0)
    asked = send(f"/pigment/{powder}/dry", net_g="99.3")
    assert "10 times what is expected" in asked.text
    sent = {"net_g": "99.3", "sure": "net_g=99.3", "record_id": "01K9V0000000000000000000A1"}
    for more in (sent, sent, {**sent, "sure": ""}):
        assert send(f"/pigment/{powder}/dry", more).status_code == 303
    assert [one.body.net_g for one in make.state.by_time(powder, "dry.weighed")] == [99.3]


def test_a_time_before_the_mixing_is_asked(make: Making, client: FlaskClient, send: Any) -> None:
    """Mixed at 08:00, dried at 00:01: the page says when it was mixed, and one key records it all the same."""
    thing = make.batch()
    make.weigh(thing, 8.0, 12.0)
    make.mixed(thing)
    typed = {"way": "oven", "gross_g": "20.5", "happened": "00:01"}
    asked = send(f"/batch/{thing}/dry", typed)
    assert "Is the time right?" in asked.text and "first mixed at 2026-11-12 08:00" in asked.text
    assert not make.state.by_time(thing, "dried")
    key = asked.text.split('name="sure" value="')[1].split('"')[0]
    assert send(f"/batch/{thing}/dry", typed, sure=key).status_code == 303
    assert len(make.state.by_time(thing, "dried")) == 1


def test_a_jar_that_may_be_drier_than_planned_is_not_asked_wrongly(make: Making, send: Any) -> None:
    """The plan takes a jar for half water; weighed dry, all of it stays: 10 g in, 10 g out."""
    wet = [{"line": 1, "formula": "Fe2O3", "target_g": 20.0, "assay_pct": 50.0}]
    batch = make.batch(wet, target_formula="Fe2O3", fired_g=10.0)
    make.weigh(batch, 20.0)
    filled = make.charge({"batch": batch, "g": 10.0}, crucible=make.crucible(40.0))
    path = f"/charge/{filled}/open"
    late = {"in_fact": "1", "fate": "clean", "tare_after_g": "40"}
    assert SURE in send(path, late, gross_g="50.7").text  # 40 + 10 * 1.05 + 0.1 is 50.6
    assert send(path, late, gross_g="50.5").status_code == 303


def test_iron_of_a_jar_that_holds_more_than_was_taken_may_gain_more(make: Making, send: Any) -> None:
    """Taken for 90 % iron, 10 g give 12.87 g of ferric oxide; pure, they give 14.30 g."""
    metal = [{"line": 1, "formula": "Fe", "target_g": 10.0, "assay_pct": 90.0}]
    batch = make.batch(metal, target_formula="Fe2O3", fired_g=12.87)
    make.weigh(batch, 10.0)
    filled = make.charge({"batch": batch, "g": 10.0}, crucible=make.crucible(40.0))
    late = {"in_fact": "1", "fate": "clean", "tare_after_g": "40"}
    assert SURE in send(f"/charge/{filled}/open", late, gross_g="55.2").text
    assert send(f"/charge/{filled}/open", late, gross_g="54.3").status_code == 303
