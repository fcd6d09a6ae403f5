"""The way to a first fire: each page names the next step, and its key stands at the foot."""

import re
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.screens.making import Making
from tests.workshop.builder import lines

ZINC = (("ZnO", 5.7), ("Fe2O3", 4.3))
PLAN = {"schedule": [{"to_c": 1000.0, "hold_min": 60.0}], "cooling_mode": "in-furnace", "atmosphere": "oxidising"}


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    """Earlier steps."""
    return Making(app, keeper)


def filled(make: Making) -> str:
    """A dry charge in a crucible of its own."""
    return make.charge({"batch": make.ready_batch(lines(*ZINC), **PLAN), "g": 10.0})


def main_key(page: str) -> tuple[str, str]:
    """The words of the main key at the foot of a page, and where it leads; nothing for one that sends a form."""
    foot = page.split('<footer class="actionbar"')[1]
    plates = re.findall(r'<(a|button) class="plate[^"]*"(.*?)</\1>', foot, re.S)
    assert len(plates) == 1, plates
    href = re.search(r'href="([^"]*)"', plates[0][1])
    return re.findall(r"<span>(.*?)</span>", plates[0][1])[-1], href[1].replace("&amp;", "&") if href else ""


def test_a_firing_places_then_lights_and_an_empty_one_can_still_be_lit(
    make: Making, client: FlaskClient, send: Any
) -> None:
    fire, one = make.firing(make.furnace(place="outdoors")), filled(make)
    way = f"/charge/{one}/place?firing={fire}"
    for page in (f"/firing/{fire}", f"/firing/{fire}/map"):
        assert main_key(client.get(page).text) == ("Place crucibles", way)
    assert "Light it empty" in client.get(f"/firing/{fire}").text
    two = filled(make)
    assert main_key(client.get(f"/firing/{fire}").text)[1].startswith(f"/firing/{fire}/map?place=")
    make.placed(one, fire)
    assert main_key(client.get(f"/firing/{fire}").text)[0] == "Check, then light"
    make.placed(two, fire, column=2)
    assert main_key(client.get(f"/firing/{fire}/map").text) == ("Go on to light", f"/firing/{fire}")
    make.lit(fire)
    assert main_key(client.get(f"/firing/{fire}/map").text) == ("Unload", f"/firing/{fire}/out")


def test_the_map_says_of_each_crucible_what_it_is_and_where_it_stands(make: Making, client: FlaskClient) -> None:
    """Two batches of one name differ by their codes; a crucible that is placed already says where."""
    fire = make.firing(make.furnace(place="outdoors", layout="grid", rows=1, columns=2), name="Yard")
    for n, code in enumerate(("BBBBBB", "CCCCCC"), 1):
        batch = make.ready_batch(lines(*ZINC), **PLAN)
        make.coded(batch, code)
        one = make.charge({"batch": batch, "g": 10.0})
        if n == 1:
            make.placed(one, fire)
    page = client.get(f"/firing/{fire}/map?place=1.1.2").text
    asked = page.split('id="what"')[1].split("</section>")[0]
    assert "BBBBB-B, now in Yard: Row 1, place 1" in asked and "CCCCC-C" in asked


def test_an_empty_firing_is_lit_by_a_lesser_key(make: Making, client: FlaskClient, send: Any) -> None:
    fire = make.firing(make.furnace(place="outdoors"))
    make.add("setting.changed", {"name": "emergency_number", "value": "000"}, "0" * 26)
    make.checked(fire, "before-lighting")
    page = client.get(f"/firing/{fire}").text
    assert main_key(page) == ("Place crucibles", f"/firing/{fire}/map") and "Record lit, nothing in it" in page
    assert "Fill one first" in client.get(f"/firing/{fire}/map").text
    assert send(f"/firing/{fire}/light").status_code == 303 and make.state.own(fire, "lit")


def test_a_firing_takes_crucible_heat_and_air_from_what_waits(make: Making, client: FlaskClient) -> None:
    """The one crucible that waits, also over a furnace that had to be described first; of several none is taken."""
    make.furnace()
    one = filled(make)
    page = client.get("/firings/new").text
    assert f'name="charge" value="{one}"' in page and "Save, place at" in page
    assert re.search(r'name="air.0".*?value="oxidising" selected', page, re.S)
    filled(make)
    assert 'name="charge" value=""' in client.get("/firings/new").text


def test_a_furnace_added_for_a_crucible_leads_back_to_its_firing(make: Making, client: FlaskClient, send: Any) -> None:
    one = filled(make)
    assert main_key(client.get("/firings/new").text) == ("Add a furnace", f"/furnaces/new?charge={one}")
    assert f'name="charge" value="{one}"' in client.get(f"/furnaces/new?charge={one}").text
    box = {
        "name": "Box",
        "fuel": "electric",
        "layout": "grid",
        "rows": "1",
        "columns": "2",
        "tiers": "1",
        "place": "outdoors",
    }
    assert send("/furnaces/new", box, charge=one).location == f"/firings/new?charge={one}"
    assert send("/furnaces/new", box).location.startswith("/furnace/")


def test_a_refused_going_in_carries_the_key_that_places(make: Making, client: FlaskClient, send: Any) -> None:
    """Placed in a fire that burns it is in; a place that is taken, or another reason, gives no such key."""
    fire, one = make.firing(make.furnace()), filled(make)
    make.lit(fire)
    page = client.get(f"/firing/{fire}/in").text
    place = page.split('name="place" value="')[1].split('"')[0]
    assert main_key(page)[0].startswith("Place at ") and main_key(page)[0].endswith(", record in")
    assert send(f"/firing/{fire}/in", charge=one).status_code == 422
    assert send(f"/firing/{fire}/in", charge=one, place=place).status_code == 303
    assert [r.body.firing for r in make.state.own(one, "placed")] == [fire]
    assert make.state.rows(one, "placed") and f"/firing/{fire}/out?charge={one}" in client.get(f"/firing/{fire}").text
    two = filled(make)
    assert send(f"/firing/{fire}/in", charge=two, place=place).status_code == 422  # taken
    damp = make.charge({"batch": make.ready_batch(lines(*ZINC)), "g": 5.0}, wet_g=7.0)
    said = client.get(f"/firing/{fire}/in?charge={damp}").text
    assert main_key(said)[0] == "Record in" and "steam bursts a crucible" in said
    assert send(f"/firing/{fire}/in", charge=damp, place="1.1.2").status_code == 422


def electric(make: Making, **known: Any) -> tuple[str, str]:
    """An electric furnace and a firing in it with a charge in a crucible rated to 1,650 °C."""
    furnace = make.furnace("electric", place="outdoors", **known)
    fire = make.firing(furnace, peak_c=920.0)
    batch = make.ready_batch(lines(*ZINC), **PLAN)
    make.placed(make.charge({"batch": batch, "g": 5.0}, crucible=make.crucible(rated_c=1650.0)), fire)
    return furnace, fire


def test_a_fitting_that_the_furnace_lacks_is_said_once_and_is_no_longer_asked(
    make: Making, client: FlaskClient, send: Any
) -> None:
    """It stands in the furnace's description, with what then follows; the same submit again changes nothing."""
    furnace, fire = electric(make)
    path = f"/firing/{fire}/checks/before-lighting"
    assert client.get(path).text.count('value="has-none"') == 3  # lid switch, RCD, cut-out
    assert "between 920 °C and 1650 °C" in client.get(path).text
    sent = {
        "answer.light-lid-switch": "has-none",
        "answer.light-zone": "done",
        "record_id": "01HZZZZZZZZZZZZZZZZZZZZZZC",
    }
    for _time in range(2):
        assert send(path, sent).status_code == 303
    view = make.state.slot(furnace, "furnace.described")
    assert (view.body.lid_switch, view.body.cut_out, len(view.heads)) == (False, None, 1)
    assert [r.body.item for r in make.state.own(fire, "check.answered")] == ["light-zone"]
    page = client.get(path).text
    assert 'name="answer.light-lid-switch"' not in page and "Isolator off before the lid opens" in page


def test_a_fitting_that_is_not_known_keeps_its_check_not_done(make: Making, client: FlaskClient, send: Any) -> None:
    furnace, fire = electric(make)
    path = f"/firing/{fire}/checks/before-lighting"
    assert send(path, {"answer.light-cut-out": "not-known"}).status_code == 303
    told = make.state.own(fire, "check.answered")
    assert [(r.body.item, r.body.answer) for r in told] == [("light-cut-out", "not-done")]
    assert "Find out" in told[0].body.reason and make.state.slot(furnace, "furnace.described").body.cut_out is None
    assert send(f"/firing/{fire}/light").status_code == 422


def test_a_furnace_whose_fittings_are_known_is_asked_as_before(make: Making, client: FlaskClient, send: Any) -> None:
    """A word that is offered for nobody's furnace is refused beside its item."""
    _furnace, fire = electric(make, lid_switch=True, cut_out=True, rcd=True)
    path = f"/firing/{fire}/checks/before-lighting"
    assert "has-none" not in client.get(path).text
    assert send(path, {"answer.light-cut-out": "has-none"}).status_code == 422


def test_no_isolator_is_asked_for_before_there_is_a_furnace(make: Making, client: FlaskClient) -> None:
    thing = make.ready_batch(lines(*ZINC))
    assert "wall isolator" not in client.get(f"/batch/{thing}/load?checks=1").text
    make.furnace("electric")
    assert "wall isolator" in client.get(f"/batch/{thing}/load?checks=1").text


def test_the_settings_lead_on_once_the_number_stands_and_save_on_the_way(client: FlaskClient, send: Any) -> None:
    assert main_key(client.get("/settings").text)[0] == "Save"
    assert send("/settings", emergency_number="112").location == "/settings"
    page = client.get("/settings").text
    assert main_key(page)[0] == "Add your first jar" and "<span>Save</span>" in page
    assert send("/settings", emergency_number="112", place="roofed", on="1").location == "/shelf/new#reagent"
    assert 'value="roofed" checked' in client.get("/settings").text
    refused = send("/settings", emergency_number="none", on="1")
    assert refused.status_code == 422 and main_key(refused.text)[0] == "Save"


@pytest.mark.parametrize(
    ("reagent", "asks"), [("zinc-oxide", "How pure is it?"), ("borax-decahydrate", "Which hydrate?")]
)
def test_a_reagent_with_one_form_is_not_asked_for_its_hydrate(client: FlaskClient, reagent: str, asks: str) -> None:
    page = client.get(f"/shelf/new?reagent={reagent}").text
    assert asks in page and ("Which hydrate?" in page) is (asks == "Which hydrate?")


def test_a_batch_before_any_fire_is_not_called_hot(make: Making, client: FlaskClient) -> None:
    """A fired powder whose crucible was never read cold still is, and its liquid is asked, not preset."""
    thing = make.batch(lines(*ZINC))
    make.weigh(thing, 5.7, 4.3)
    assert "Hot ware looks cold" not in client.get(f"/batch/{thing}/grind").text
    one, fire = filled(make), make.firing(make.furnace())
    make.placed(one, fire)
    make.lit(fire)
    make.off(fire)
    make.came_out(fire, one)
    page = client.get(f"/pigment/{make.opened(one, gross_g=49.0)}/grind").text
    assert "Hot ware looks cold" in page and 'value="water" checked' not in page
