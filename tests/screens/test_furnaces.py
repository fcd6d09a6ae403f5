"""Furnaces and burners: added with all that the rules ask of them, and shown from above."""

import re
from math import exp
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.screens.furnace.furnaces import ring_places
from tests.screens.test_declared import typed

ID = "01K9V0000000000000000000G1"
RING = {
    "name": "Yard furnace", "fuel": "gas", "place": "outdoors", "flue": "no", "layout": "ring", "places": "6",
    "volume_l": "9", "ceiling_c": "1250", "lining_rated_c": "1300", "probe_type": "K", "probe_class": "1",
    "air_changes_per_h": "12,5", "room_m3": "40", "notes": "built in spring",
}  # fmt: skip
BOX = {
    "name": "Box",
    "fuel": "electric",
    "place": "indoors",
    "layout": "grid",
    "rows": "2",
    "columns": "3",
    "tiers": "1",
}


def body(app: Flask, kind: str = "furnace.described") -> Any:
    """What stands recorded."""
    return app.extensions["bench"].state.slot(ID, kind).body


def test_a_ring_with_all_its_fields(app: Flask, client: FlaskClient, send: Any) -> None:
    """Everything that the rules and the drawing ask for is kept."""
    assert send("/furnaces/new", RING, record_id=ID).location == f"/furnace/{ID}"
    found = body(app)
    assert (found.fuel, found.place, found.flue, found.layout, found.places) == ("gas", "outdoors", False, "ring", 6)
    assert (found.volume_l, found.ceiling_c, found.lining_rated_c) == (9, 1250, 1300)
    assert (found.air_changes_per_h, found.room_m3, found.probe_type, found.probe_class) == (12.5, 40, "K", "1")
    page = client.get(f"/furnace/{ID}").text
    assert "Old fibre lining" in page and "P3 mask" in page
    assert page.count('class="potgone"') == 6 and "type K, class 1" in page and "1300 °C" in page
    assert "Yard furnace" in client.get("/furnaces").text


def test_a_box_leaves_open_what_nobody_knows(app: Flask, client: FlaskClient, send: Any) -> None:
    """What was not said is not known, never no or nought."""
    assert send("/furnaces/new", BOX, record_id=ID).status_code == 303
    found = body(app)
    assert (found.rows, found.columns, found.tiers, found.places) == (2, 3, 1, None)
    assert found.flue is None and found.air_changes_per_h is None and found.probe_type == "none"
    assert (found.blower, found.lid_switch, found.cut_out, found.rcd) == (None, None, None, None)
    page = client.get(f"/furnace/{ID}").text
    assert page.count('class="potgone"') == 6 and "not known: check it before you go hot" in page


def test_what_guards_it_has_is_asked_once_here(app: Flask, client: FlaskClient, send: Any) -> None:
    """What it lacks is kept as lacking, and its check then says so in the place of the question."""
    guards = {"lid_switch": "yes", "cut_out": "no", "rcd": "unknown"}
    assert send("/furnaces/new", BOX | guards, record_id=ID).status_code == 303
    found = body(app)
    assert (found.lid_switch, found.cut_out, found.rcd) == (True, False, None)
    plan = {"furnace": ID, "segments": [{"to_c": 900}]}
    firing = app.extensions["bench"].journal.write("firing.planned", None, plan).id
    said = client.get(f"/firing/{firing}/checks/before-lighting").text
    assert 'name="answer.light-lid-switch"' in said and 'name="answer.light-rcd"' in said
    assert "Not for this furnace: no cut-out" in said and 'name="answer.light-cut-out"' not in said


def test_without_a_furnace_the_main_key_of_a_plan_leads_to_one(client: FlaskClient, send: Any) -> None:
    def keys() -> str:
        return client.get("/firings/new").text.partition('<footer class="actionbar"')[2]

    assert 'class="plate" href="/furnaces/new"' in keys()
    send("/furnaces/new", RING | {"record_id": ID})
    assert "/furnaces/new" not in keys()


def test_the_place_begins_as_the_settings_say(app: Flask, client: FlaskClient) -> None:
    """Asked once, not for each furnace."""
    app.extensions["bench"].journal.write("setting.changed", "0" * 26, {"name": "place", "value": "roofed"})
    assert 'value="roofed" checked' in client.get("/furnaces/new").text


BAD = (
    ({"name": ""}, "Write something"),
    ({"name": "x" * 100_000}, "at most 80"),
    ({"fuel": ""}, "Choose one"),
    ({"fuel": "coal"}, "Choose one"),
    ({"place": ""}, "Choose one"),
    ({"layout": "spiral"}, "Choose one"),
    ({"places": ""}, "Type a whole number"),
    ({"places": "13"}, "At most"),
    ({"places": "2.5"}, "whole number"),
    ({"layout": "grid", "rows": "0", "columns": "2", "tiers": "1"}, "At least"),
    ({"lining_rated_c": "-1"}, "minus sign"),
    ({"ceiling_c": "9999"}, "At most"),
    ({"volume_l": "0"}, "At least"),
    ({"flue": "maybe"}, "Choose one"),
    ({"probe_type": "Z"}, "Choose one"),
    ({"notes": "a\x00"}, "control character"),
    ({"happened": "7"}, "hours and minutes"),
)


def test_bad_input_stands_beside_its_field(app: Flask, send: Any) -> None:
    """A plain sentence, what was typed kept, nothing recorded."""
    for fields, words in BAD:
        answer = send("/furnaces/new", RING | {"room_m3": "41.75"} | fields)
        assert answer.status_code == 422 and words in answer.text and "41.75" in answer.text, fields
    assert not app.extensions["bench"].journal.by("kind", "furnace.described")


def test_without_a_layout_only_the_layout_is_asked_for(send: Any) -> None:
    """Neither rows nor places are refused before it is known which of them there are."""
    page = send("/furnaces/new", RING | {"layout": "", "places": ""}).text
    assert refused(page) == ["layout"]
    assert refused(send("/furnaces/new", BOX | {"columns": ""}).text) == ["columns"]


def refused(page: str) -> list[str]:
    return re.findall(r'class="complaint" id="(\w+)-no"', page)


@pytest.mark.parametrize(
    ("field", "beyond", "say"),
    [("ceiling_c", "2001", "At most 2000"), ("places", "13", "At most 12"), ("probe_place", "n" * 121, "120")],
)
def test_a_correction_refuses_what_the_first_form_refuses(
    app: Flask, client: FlaskClient, send: Any, field: str, beyond: str, say: str
) -> None:
    first = send("/furnaces/new", RING | {field: beyond})
    send("/furnaces/new", RING | {"probe_place": "back wall"}, record_id=ID)
    record = app.extensions["bench"].state.slot(ID, "furnace.described").record.id
    path = f"/thing/{ID}/correct/{record}"
    page = client.get(path).get_data(as_text=True)
    again = send(path, typed(page) | {field: beyond})
    assert first.status_code == again.status_code == 422
    assert say in first.text and say in again.text and "Highest temperature" in page
    assert send(path, typed(page) | {"ceiling_c": "2000"}).status_code == 303 and body(app).ceiling_c == 2000


def test_a_burner(app: Flask, client: FlaskClient, send: Any) -> None:
    """It has its page, and the firings that it did."""
    assert send("/burners/new", record_id=ID, name="The long one", fuel="gas").location == f"/furnace/{ID}"
    assert body(app, "burner.described").name == "The long one"
    assert "The long one" in client.get("/furnaces").text and "None yet" in client.get(f"/furnace/{ID}").text
    for fields in ({"name": ""}, {"fuel": "wood"}, {"notes": "n" * 5_000}):
        assert send("/burners/new", {"name": "B", "fuel": "gas"} | fields).status_code == 422


def test_its_firings_stand_on_its_page(app: Flask, client: FlaskClient, send: Any) -> None:
    """With their peak."""
    send("/furnaces/new", RING, record_id=ID)
    data = {"furnace": ID, "segments": [{"to_c": 905.0}], "name": "First brown"}
    app.extensions["bench"].journal.write("firing.planned", None, data)
    page = client.get(f"/furnace/{ID}").text
    assert "First brown" in page and "905 °C" in page


def test_sent_again_it_is_one(app: Flask, send: Any) -> None:
    """Ten deliveries are one furnace."""
    assert {send("/furnaces/new", RING, record_id=ID).status_code for _ in range(10)} == {303}
    assert len(app.extensions["bench"].journal.by("kind", "furnace.described")) == 1


def test_no_such_furnace(client: FlaskClient, send: Any) -> None:
    """The calm page, and the wrong method."""
    for path in ("/furnace/nothing", "/furnace/01K9V0000000000000000000ZZ", "/furnace/%00"):
        assert client.get(path).status_code == 404
        assert send(path).status_code in (404, 405)
    assert send("/furnaces").status_code == 405


@pytest.mark.parametrize(("n", "hours"), [(1, "12"), (2, "12 6"), (3, "12 4 8"), (4, "12 3 6 9"), (6, "12 2 4 6 8 10")])
def test_a_ring_is_shared_out_like_a_clock(n: int, hours: str) -> None:
    """Evenly from 12; twelve at most, and no hour twice."""
    assert ring_places(n) == hours.split()
    assert all(len(set(ring_places(k))) == min(k, 12) for k in range(1, 40))


def test_what_its_fires_taught_stands_on_its_page_and_the_forecast_reckons_with_it(  # type: ignore[no-untyped-def]
    app: Flask, client: FlaskClient, send, keeper
) -> None:
    """Three climbs at one rate, 1,080 - 1,060·exp(-t/40): the time constant is learnt with its spread, and used."""
    journal = app.extensions["bench"].journal
    furnace = send("/furnaces/new", RING | {"probe_place": "back wall"}).location.rsplit("/", 1)[1]
    assert (
        "back wall" in client.get(f"/furnace/{furnace}").text and "none yet" in client.get(f"/furnace/{furnace}").text
    )
    for fire in range(4):
        plan = {"furnace": furnace, "segments": [{"to_c": 1075, "hold_min": 60}]}
        firing = journal.write("firing.planned", None, plan).id
        journal.write("lit", firing, {"deviations": []})
        for n in range(30 if fire < 3 else 12):
            c = 1080 - 1060 * exp(-5 * n / 40) + (-1) ** n
            journal.write("reading", firing, {"c": c, "raw": c, "raw_unit": "C"})
            keeper.turn(5)
        if fire < 3:
            journal.write("fire.off", firing, {"reason": "reached"})
        keeper.turn(600)
    page = client.get(f"/furnace/{furnace}").text
    found = re.search(r"(\d+) min \((\d+) to (\d+)\), 3 climbs", page)
    assert found and int(found[2]) <= 40 <= int(found[3]) and abs(int(found[1]) - 40) <= 2, page
    hours = re.search(r"over 1,000 °C</dt>\s*<dd[^>]*>([\d.]+) h", page)
    # Over 1,000 °C from 40·ln(1060/80) = 103.4 to 145 min of each of three, and none of the fourth.
    assert hours and float(hours[1]) == pytest.approx(3 * (145 - 103.4) / 60, abs=0.1)
    said = client.get(f"/firing/{firing}").text
    slowest = re.search(r"Slowest time constant assumed</dt>\s*<dd[^>]*>(\d+) min", page)
    assert slowest and 60 <= int(slowest[1]) < 120
    assert f"with a slowest time constant of {slowest[1]}" in said and "past climbs" in said
