"""A charge's page, and its place on a furnace's map."""

import re
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.web.moments import clock_text
from bench.workshop.things.charges import charge
from tests.screens.making import Making
from tests.workshop.builder import lines

ID = "01K9V0000000000000000000A1"
CODE = "T5C7HJ"
PLAN = {"schedule": [{"to_c": 1000.0}], "cooling_mode": "in-furnace", "cooling_basis": "planned"}


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    """Earlier steps."""
    return Making(app, keeper)


@pytest.fixture
def filled(make: Making) -> str:
    """A dry charge in a crucible with a code."""
    thing = make.ready_batch(lines(("ZnO", 5.7), ("CoO", 1.5)), name="green", **PLAN)
    vessel = make.crucible()
    make.coded(vessel, CODE)
    return make.charge({"batch": thing, "g": 7.2}, crucible=vessel)


def where(make: Making, thing: str) -> list[tuple[int, int | None, int | None, int | None]]:
    """The places of a charge that stand, by firing."""
    found = [r.body for r in make.state.by_time(thing, "placed")]
    return [(b.tier, b.row, b.column, b.clock) for b in found]


def test_each_state_says_what_is_next(make: Making, client: FlaskClient, filled: str) -> None:
    """Dry, placed, in the heat, out and hot, cool, opened: the state, the cooling, and never a touch too early."""

    def said() -> str:
        return client.get(f"/charge/{filled}").text

    assert "T5C7H-J" in said() and "Place for a firing" in said() and "in the furnace to cool" in said()
    fire = make.firing(peak_c=1000.0)
    make.placed(filled, fire)
    assert "Placed, not fired yet" in said() and "Too hot" not in said()
    make.lit(fire)
    assert "In the furnace" in said() and "Too hot to touch" in said() and 'href="/emergency"' in said()
    make.wait(120)
    make.off(fire)
    make.came_out(fire, filled)
    assert "Out, hot" in said() and "Too hot to touch" in said()
    make.touched(filled, 22.0)
    assert "Cool enough to hold" in said() and "Open and weigh out" in said()
    powder = make.opened(filled, gross_g=47.1)
    assert f"/pigment/{powder}" in said() and "Too hot" not in said() and "the SDS of your jar" in said()


def test_a_stay_overnight_says_its_days(make: Making, client: FlaskClient, filled: str) -> None:
    """The clock alone would let it come out before it went in."""
    fire = make.firing()
    make.placed(filled, fire, happened=1500)
    make.lit(fire, happened=1490)
    out = make.came_out(fire, filled, happened=20)
    page = client.get(f"/charge/{filled}").text
    assert re.search(rf"in \d{{4}}-\d\d-\d\d \d\d:\d\d · out {out.local:%Y-%m-%d %H:%M}", page)


def test_an_unknown_cooling_stays_in(make: Making, client: FlaskClient) -> None:
    """Nobody planned it, so it is not opened hot."""
    thing = make.ready_batch(lines(("ZnO", 5.7)), name="green")
    filled = make.charge({"batch": thing, "g": 5.7})
    assert "leave it in" in client.get(f"/charge/{filled}").text


def test_no_firing_yet(client: FlaskClient, filled: str) -> None:
    """It leads to planning one."""
    assert client.get(f"/charge/{filled}/place").location == f"/firings/new?charge={filled}"


def test_on_a_grid(make: Making, client: FlaskClient, send: Any, filled: str) -> None:
    """Two tiers of two by two: a place is chosen on the map, and another one corrects it."""
    fire = make.firing(make.furnace(tiers=2, rows=2, columns=2))
    said = client.get(f"/charge/{filled}/place").text
    assert "<svg" in said and 'value="1.2.1"' in said and "Row 2, place 1" in said
    assert 'value="2.1.1"' in client.get(f"/charge/{filled}/place?firing={fire}&tier=2").text
    answer = send(f"/charge/{filled}/place", firing=fire, place="1.2.1")
    assert answer.location == f"/firing/{fire}/checks/before-lighting?one=1"
    assert where(make, filled) == [(1, 2, 1, None)]
    assert "placed here" in client.get(f"/charge/{filled}/place?firing={fire}").text
    send(f"/charge/{filled}/place", firing=fire, place="2.1.2")
    assert where(make, filled) == [(2, 1, 2, None)] and len(make.state.all_rows(filled, "placed")) == 2


def test_on_a_ring(make: Making, client: FlaskClient, send: Any, filled: str) -> None:
    """Six places like a clock."""
    fire = make.firing(make.furnace(layout="ring", places=6))
    assert "10 o’clock" in client.get(f"/charge/{filled}/place").text
    assert send(f"/charge/{filled}/place", firing=fire, place="c.4").status_code == 303
    assert where(make, filled) == [(1, None, None, 4)]


def test_a_taken_place(make: Making, client: FlaskClient, send: Any, filled: str) -> None:
    """Two crucibles do not stand at one place; entered late, it is a fact."""
    fire = make.firing(make.furnace(rows=1, columns=2))
    other = make.charge({"batch": charge(make.state, filled).batches[0], "g": 0.1})  # type: ignore[union-attr]
    make.placed(other, fire)
    assert 'value="1.1.1"' not in client.get(f"/charge/{filled}/place").text
    refused = send(f"/charge/{filled}/place", firing=fire, place="1.1.1")
    assert refused.status_code == 422 and "is at this place already" in refused.text and not where(make, filled)
    assert (
        send(f"/charge/{filled}/place", firing=fire, place="1.1.1", happened=clock_text(make.keeper.ms, 0)).status_code
        == 303
    )


def test_which_firing(make: Making, client: FlaskClient, send: Any, filled: str) -> None:
    """Two open firings are a list; a closed one is not in it and takes nothing."""
    first, second = make.firing(name="First"), make.firing(name="Second")
    said = client.get(f"/charge/{filled}/place").text
    assert f"firing={first}" in said and "Second" in said
    make.closed(second, "stalled")
    assert send(f"/charge/{filled}/place", firing=second, place="1.1.1").status_code == 422
    assert "First" in client.get(f"/charge/{filled}/place").text


def test_carried_over_after_a_stalled_fire(make: Making, client: FlaskClient, send: Any, filled: str) -> None:
    """The charge goes on in the next firing; both stand on its page."""
    first = make.firing(name="Stalled")
    make.placed(filled, first)
    make.lit(first)
    make.wait(60)
    make.off(first, "stalled")
    make.closed(first, "stalled")
    second = make.firing(name="Again")
    assert send(f"/charge/{filled}/place", firing=second, place="1.1.1").status_code == 303
    said = client.get(f"/charge/{filled}").text
    assert "Stalled" in said and "Again" in said


@pytest.mark.parametrize("place", ["", "1.9.9", "c.3", "x" * 10_000, "1.1", "\x00"])
def test_no_such_place(make: Making, send: Any, filled: str, place: str) -> None:
    """A sentence beside the places, and nothing recorded."""
    fire = make.firing()
    answer = send(f"/charge/{filled}/place", firing=fire, place=place)
    assert answer.status_code == 422 and "Choose one of the places" in answer.text and not where(make, filled)


def test_sent_twice_it_is_one(make: Making, send: Any, filled: str) -> None:
    """Also when it moves what stood elsewhere before."""
    fire = make.firing(make.furnace(rows=1, columns=3))
    send(f"/charge/{filled}/place", firing=fire, place="1.1.1")
    for _ in range(3):
        assert send(f"/charge/{filled}/place", record_id=ID, firing=fire, place="1.1.3").status_code == 303
    assert where(make, filled) == [(1, 1, 3, None)] and len(make.state.all_rows(filled, "placed")) == 2


def test_unknown_things(make: Making, client: FlaskClient, send: Any, filled: str) -> None:
    """A calm page."""
    for path in (f"/charge/{ID}", f"/charge/{ID}/place", f"/charge/{filled}/place?firing={ID}"):
        assert client.get(path).status_code == 404
    assert send(f"/charge/{filled}/place", firing=ID, place="1.1.1").status_code == 404
    assert client.post(f"/charge/{filled}").status_code in (403, 405)
