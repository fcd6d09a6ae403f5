"""A firing by its screens: planned, checked, lit, read, emptied, put out, carried over, closed."""

import re
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from bench.screens.furnace.firing_view import thinned


def prepare(app: Flask, fuel: str = "gas") -> dict[str, str]:
    """An emergency number, a furnace outdoors, a dry charge in a rated crucible, and a firing with it placed."""
    journal = app.extensions["bench"].journal
    journal.write("setting.changed", "0" * 26, {"name": "emergency_number", "value": "000"})
    line = {"line": 1, "formula": "ZnO", "target_g": 5.0}
    plan = {"name": "Tan", "from": "grams", "lines": [line], "cooling_mode": "slow", "cooling_basis": "read"}
    batch = journal.write("batch.planned", None, plan).id
    journal.write("weighed", batch, {"line": 1, "net_g": 5.0})
    journal.write("mixed", batch, {"medium": "dry", "streak": "even"})
    for _ in range(2):
        journal.write("dried", batch, {"where": "dish", "mass_g": 5.0})
    pot = journal.write("crucible.added", None, {"ware": "alumina-99", "volume_ml": 30, "rated_c": 1650}).id
    journal.write("code.assigned", pot, {"code": "T5C7HJ", "thing": pot})
    data = {"crucible": pot, "sources": [{"batch": batch, "g": 5.0}], "lid": "loose"}
    charge = journal.write("charged", None, data).id
    told = {"name": "Yard ring", "fuel": fuel, "layout": "ring", "places": 6, "place": "outdoors"}
    furnace = journal.write("furnace.described", None, told | {"lining_rated_c": 1300}).id
    firing = journal.write("firing.planned", None, {"furnace": furnace, "segments": [{"to_c": 900, "hold_min": 60}]}).id
    journal.write("placed", charge, {"firing": firing, "clock": 12})
    return {"charge": charge, "firing": firing, "furnace": furnace, "batch": batch}


def rows(app: Flask, thing: str, kind: str) -> list[Any]:
    return app.extensions["bench"].state.own(thing, kind)  # type: ignore[no-any-return]


def tick(app: Flask, send: Any, firing: str, phase: str, answer: str = "done") -> None:
    items = app.extensions["bench"].library.asked_items(phase, "gas")
    assert send(f"/firing/{firing}/checks/{phase}", {f"answer.{i.slug}": answer for i in items}).status_code == 303


def test_a_tap_on_the_map_leads_on(app: Flask, client: FlaskClient) -> None:
    """Each place of the picture leads where its row leads, and a place that was tapped is the one chosen."""
    made = prepare(app)
    fire, charge = made["firing"], made["charge"]
    page = client.get(f"/firing/{fire}/map").text
    ways = re.findall(r'href="([^"]+)" tabindex="-1"', page)
    assert len(ways) == 6 and all(page.count(f'href="{way}"') == 2 for way in ways)
    page = client.get(f"/charge/{charge}/place").text
    way = re.findall(r'href="(/charge/[^"]+place=c.4)#ask" tabindex', page)
    assert 'value="c.4" checked' not in page
    assert 'value="c.4" checked' in client.get(way[0].replace("&amp;", "&")).text


def test_times_that_cannot_be_lead_to_their_correction(app: Flask, client: FlaskClient) -> None:
    """Lighting that is corrected to before the placing: said on its page and its heat, with the placing to correct."""
    made = prepare(app)
    fire, journal = made["firing"], app.extensions["bench"].journal
    lit = journal.write("lit", fire, {}).id
    assert "One of the two times is wrong" not in client.get(f"/firing/{fire}").text
    journal.write("lit", fire, {}, corrects=[lit], happened_at="2026-01-05T08:00:00Z", how="late")
    placed = rows(app, made["charge"], "placed")[0].id
    for page in (client.get(f"/firing/{fire}").text, client.get(f"/firing/{fire}/heat").text):
        assert "One of the two times is wrong" in page and f"/thing/{made['charge']}/correct/{placed}" in page
    assert client.get(f"/thing/{made['charge']}/correct/{placed}").status_code == 200


def test_a_firing_is_planned_with_a_code(app: Flask, client: FlaskClient, send) -> None:  # type: ignore[no-untyped-def]
    made = prepare(app)
    fields = {"furnace": made["furnace"], "to_c.0": "120", "hold_min.0": "30", "to_c.1": "900", "hold_min.1": "240"}
    answer = send("/firings/new", fields)
    assert answer.status_code == 303
    assert client.get(answer.headers["Location"]).status_code == 200
    new = app.extensions["bench"].state.things("firing")[-1]
    assert app.extensions["bench"].state.code_of(new)


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({}, "furnace"),
        ({"furnace": "x", "to_c.0": "900"}, "furnace"),
        ({"to_c.0": "hot"}, "to_c.0"),
        ({"to_c.0": "9000"}, "to_c.0"),
        ({"hold_min.0": "5"}, "to_c.0"),
    ],
)
def test_a_wrong_plan_says_so(app: Flask, send, wrong: dict[str, str], field: str) -> None:  # type: ignore[no-untyped-def]
    made = prepare(app)
    fields = ({"furnace": made["furnace"]} if field != "furnace" else {}) | wrong
    answer = send("/firings/new", fields)
    assert answer.status_code == 422 and f'id="{field}-no"' in answer.get_data(as_text=True)


def test_lighting_waits_for_its_checks_and_a_withdrawn_tick_blocks_again(app: Flask, client: FlaskClient, send) -> None:  # type: ignore[no-untyped-def]
    made = prepare(app)
    firing = made["firing"]
    assert send(f"/firing/{firing}/light").status_code == 422
    assert not rows(app, firing, "lit")
    tick(app, send, firing, "before-lighting")
    ticked = rows(app, firing, "check.answered")
    app.extensions["bench"].journal.write("withdrawn", firing, {"ids": [ticked[0].id], "why": "not done yet"})
    assert send(f"/firing/{firing}/light").status_code == 422
    tick(app, send, firing, "before-lighting")
    assert send(f"/firing/{firing}/light").status_code == 303
    assert rows(app, firing, "lit")[0].body.deviations == ()


def test_a_gas_burner_has_two_keys_lit_and_did_not_light(app: Flask, client: FlaskClient, send) -> None:  # type: ignore[no-untyped-def]
    """Both stand there once all is checked; one that did not light asks for the purge anew, five minutes later."""
    made = prepare(app)
    firing = made["firing"]
    assert "Did not light" not in client.get(f"/firing/{firing}").get_data(as_text=True)
    tick(app, send, firing, "before-lighting")
    said = client.get(f"/firing/{firing}").get_data(as_text=True)
    assert "Record lit" in said and "Did not light" in said
    assert send(f"/firing/{firing}/unlit").status_code == 303
    said = client.get(f"/firing/{firing}").get_data(as_text=True)
    assert "gas off, wait five minutes, purge again" in said and "Record lit" not in said
    assert send(f"/firing/{firing}/light").status_code == 422
    assert not rows(app, firing, "lit")


def test_what_burns_in_fact_is_recorded_and_the_unmet_stays_in_sight(app: Flask, client: FlaskClient, send) -> None:  # type: ignore[no-untyped-def]
    firing = prepare(app)["firing"]
    assert send(f"/firing/{firing}/light", {"in_fact": "1"}).status_code == 303
    assert "checks-before-lighting" in rows(app, firing, "lit")[0].body.deviations
    assert "Lit without" in client.get(f"/firing/{firing}").get_data(as_text=True)


def test_readings_by_three_taps_same_and_other_units(app: Flask, client: FlaskClient, send, keeper) -> None:  # type: ignore[no-untyped-def]
    firing = prepare(app)["firing"]
    send(f"/firing/{firing}/light", {"in_fact": "1"})
    path = f"/firing/{firing}/reading"
    for fields in (
        {"tens": "90", "digit": "3"},
        {"same": "1"},
        {"c": "1652", "unit": "F"},
        {"c": "19,644", "unit": "mV", "cold_junction_c": "25"},
    ):
        assert send(path, fields).status_code == 303
        keeper.turn(10)
    read = [r.body.c for r in rows(app, firing, "reading")]
    # 1652 °F is 900 °C; type K at 19.644 mV over a junction at 25 °C is 500.0 °C (NIST ITS-90 tables).
    assert read == pytest.approx([903, 903, 900, 500], abs=0.2)
    assert client.get(f"/firing/{firing}").status_code == 200
    assert client.get(f"/firing/{firing}/readings.csv").get_data(as_text=True).count("\n") == 5


@pytest.mark.parametrize(
    "fields", [{"c": ""}, {"c": "warm"}, {"c": "1e9"}, {"tens": "x", "digit": "1"}, {"c": "9,0.1"}]
)
def test_wrong_readings_are_refused_beside_the_field(app: Flask, send, fields: dict[str, str]) -> None:  # type: ignore[no-untyped-def]
    firing = prepare(app)["firing"]
    answer = send(f"/firing/{firing}/reading", fields)
    assert answer.status_code == 422
    assert not rows(app, firing, "reading")


def test_out_says_its_cooling_first_and_only_its_own_reading_clears_it(app: Flask, client: FlaskClient, send) -> None:  # type: ignore[no-untyped-def]
    made = prepare(app)
    firing, charge = made["firing"], made["charge"]
    send(f"/firing/{firing}/light", {"in_fact": "1"})
    send(f"/firing/{firing}/reading", {"c": "850", "unit": "C"})
    asked = client.get(f"/firing/{firing}/out?charge={charge}").get_data(as_text=True)
    assert "Slowly" in asked and "Not yet" in asked and "850 °C inside" in asked
    assert send(f"/firing/{firing}/out", {"code": "T5C7H-J"}).status_code == 422
    fields = {"code": "T5C7H-J", "rest_place": "brick", "in_fact": "1"}
    answer = send(f"/firing/{firing}/out", fields)
    assert answer.headers["Location"].endswith(f"/charge/{charge}/cool")
    send(f"/firing/{firing}/reading", {"c": "20", "unit": "C"})
    assert "Too hot to touch" in client.get(f"/charge/{charge}/cool").get_data(as_text=True)
    send(f"/charge/{charge}/cool", {"surface_c": "310"})
    assert send(f"/charge/{charge}/cool", {"surface_c": "31"}).headers["Location"].endswith("/cool")  # a digit slipped
    slipped = client.get(f"/charge/{charge}/cool").get_data(as_text=True)
    assert "Perhaps still hot" in slipped and "310 °C was read" in slipped and "Cool enough" not in slipped
    assert send(f"/charge/{charge}/cool", {"surface_c": "61"}).headers["Location"].endswith("/cool")
    assert send(f"/charge/{charge}/cool", {"surface_c": "31"}).headers["Location"].endswith(f"/charge/{charge}/open")
    assert "Too hot" not in client.get(f"/charge/{charge}/cool").get_data(as_text=True)


def test_all_out_in_one_tap(app: Flask, client: FlaskClient, send) -> None:  # type: ignore[no-untyped-def]
    made = prepare(app)
    send(f"/firing/{made['firing']}/light", {"in_fact": "1"})
    assert send(f"/firing/{made['firing']}/all-out").status_code == 303
    from bench.workshop.things.charges import charge

    view = charge(app.extensions["bench"].state, made["charge"])
    assert view is not None and view.state == "out-hot"


def test_a_stalled_fire_is_put_out_and_its_charges_carried_over(app: Flask, client: FlaskClient, send, keeper) -> None:  # type: ignore[no-untyped-def]
    made = prepare(app)
    firing = made["firing"]
    keeper.turn(5)
    send(f"/firing/{firing}/light", {"in_fact": "1"})
    keeper.turn(120)
    assert send(f"/firing/{firing}/close").status_code == 422
    assert send(f"/firing/{firing}/off", {"reason": "stalled"}).status_code == 303
    assert send(f"/firing/{firing}/close").status_code == 422
    keeper.turn(20)
    tick(app, send, firing, "after-shutdown")
    answer = send(f"/firing/{firing}/close")
    assert answer.status_code == 422 and "answered 20 min after" in answer.get_data(as_text=True)
    keeper.turn(45)
    tick(app, send, firing, "after-shutdown")
    segments = [{"to_c": 900, "hold_min": 60}]
    other = app.extensions["bench"].journal.write(
        "firing.planned", None, {"furnace": made["furnace"], "segments": segments}
    )
    answer = send(f"/firing/{firing}/carry", {"to": other.id})
    assert answer.headers["Location"].endswith(other.id)
    from bench.workshop.things.charges import charge

    view = charge(app.extensions["bench"].state, made["charge"])
    assert view is not None and [s.firing for s in view.residences] == [firing, other.id]
    assert send(f"/firing/{firing}/close").status_code == 303


def test_notes_timers_maps_and_the_emergency_page(app: Flask, client: FlaskClient, send) -> None:  # type: ignore[no-untyped-def]
    firing = prepare(app)["firing"]
    send(f"/firing/{firing}/light", {"in_fact": "1"})
    assert send(f"/firing/{firing}/note", {"what": "flame", "value": "sooty"}).status_code == 303
    assert send(f"/firing/{firing}/note", {"what": "co", "value": "120"}).status_code == 303
    assert send(f"/firing/{firing}/note", {"what": "co", "value": "much"}).status_code == 422
    assert send(f"/firing/{firing}/note", {"what": "x", "value": "y"}).status_code == 422
    assert send(f"/firing/{firing}/timer", {"minutes": "60"}).status_code == 303
    assert send(f"/firing/{firing}/timer", {"minutes": "-1"}).status_code == 422
    page = client.get("/emergency").get_data(as_text=True)
    assert "do this now" in page and "000" in page and "does not shut anything off" in page
    assert "Tell them it contains: zinc<" in page
    bar = page.partition('class="actionbar"')[2]
    assert "Call for help" in bar and "Back to the bench" not in bar
    for path in (
        f"/firing/{firing}/map",
        "/firings",
        f"/firing/{firing}/in",
        f"/firing/{firing}/off",
        f"/firing/{firing}/close",
    ):
        assert client.get(path).status_code == 200
    for path in ("/firing/x", f"/firing/{firing}/checks/none", "/charge/x/cool"):
        assert client.get(path).status_code == 404


def test_a_long_curve_is_thinned_without_losing_its_peak() -> None:
    points = [(float(n), 500.0 + (n % 7)) for n in range(43_200)]
    points[31_337] = (31_337.0, 981.0)
    kept = thinned(points)
    assert len(kept) < 500
    assert max(c for _, c in kept) == 981.0 and kept[0][0] < 300 and kept[-1] == points[-1]


def burning(app: Flask, send: Any) -> str:
    """A fire that was checked and lit."""
    firing = prepare(app)["firing"]
    tick(app, send, firing, "before-lighting")
    assert send(f"/firing/{firing}/light").status_code == 303
    return firing


def test_a_burning_fire_cannot_be_marked_as_left(app: Flask, client: FlaskClient, send) -> None:  # type: ignore[no-untyped-def]
    firing = burning(app, send)
    said = client.get(f"/firing/{firing}/watch").get_data(as_text=True)
    assert "A timer does not watch a fire" in said and "Shut it down" in said
    answer = send(f"/firing/{firing}/watch", {"way": "alone"})
    assert answer.status_code == 422 and "Do not leave: stay" in answer.get_data(as_text=True)
    assert not rows(app, firing, "noted")


def test_what_was_left_in_fact_is_an_alarm_and_a_flag_until_somebody_is_back(  # type: ignore[no-untyped-def]
    app: Flask, client: FlaskClient, send
) -> None:
    firing = burning(app, send)
    assert send(f"/firing/{firing}/watch", {"way": "alone", "in_fact": "1"}).status_code == 303
    assert "A hot furnace must be watched. Stay, hand over, or shut down." in client.get(f"/firing/{firing}").get_data(
        True
    )
    assert "left burning unattended" in client.get(f"/thing/{firing}").get_data(as_text=True)
    assert send(f"/firing/{firing}/watch", {"way": "back"}).status_code == 303
    assert "Stay, or shut it down." not in client.get(f"/firing/{firing}").get_data(as_text=True)
    assert "left burning unattended" in client.get(f"/thing/{firing}").get_data(as_text=True)


def test_a_fire_is_handed_over_to_somebody_who_stands_there(app: Flask, client: FlaskClient, send) -> None:  # type: ignore[no-untyped-def]
    firing = burning(app, send)
    for wrong, field in (({"name": ""}, "name"), ({"name": "Ida"}, "stands_here"), ({"name": "x" * 81}, "name")):
        answer = send(f"/firing/{firing}/watch", {"way": "hand-over", **wrong})
        assert answer.status_code == 422 and f'id="{field}-no"' in answer.get_data(as_text=True)
    assert send(f"/firing/{firing}/watch", {"way": "hand-over", "name": "Ida", "stands_here": "1"}).status_code == 303
    assert "Ida is watching" in client.get(f"/firing/{firing}").get_data(as_text=True)
    assert send(f"/firing/{firing}/watch", {"way": "sleep"}).status_code == 422
    assert client.get("/firing/01K9V0000000000000000000ZZ/watch").status_code == 404


def test_a_fire_that_is_out_may_be_left(app: Flask, client: FlaskClient, send) -> None:  # type: ignore[no-untyped-def]
    firing = burning(app, send)
    send(f"/firing/{firing}/off", {"reason": "reached"})
    assert "This fire is out" in client.get(f"/firing/{firing}/watch").get_data(as_text=True)
