"""What a phone takes in to work without the laptop: whole lists, each page of which is there; the worker; the app."""

import importlib
import json
import re
from typing import Any

import pytest
from flask import Flask
from markupsafe import escape

from bench.screens.phone.drawn import MOST_DRAWN

KEY = "bench.door"


@pytest.fixture
def demo(app: Flask) -> Flask:
    """A bench with batches and firings under way."""
    importlib.import_module("bench.demo").fill(app.extensions["bench"])
    return app


def test_every_page_of_every_list_is_there(demo: Flask) -> None:
    client = demo.test_client()
    bench = client.get("/bench/offline.json").json
    lists = [bench, *(client.get(address).json for address in bench["more"])]
    assert len(lists) >= 3
    assert any("/firing/" in address for address in bench["more"])
    for found in lists:
        for address, _ in found["items"]:
            with client.get(address, follow_redirects=True) as answer:
                assert answer.status_code == 200, address


def test_a_list_changes_its_mark_with_what_is_recorded_and_with_nothing_else(demo: Flask, keeper: Any) -> None:
    client = demo.test_client()
    firing = next(a for a in client.get("/bench/offline.json").json["more"] if a.startswith("/firing/"))
    first = client.get(firing).json["rev"]
    told = client.get(firing).json["told"][firing.split("/")[2]]
    assert isinstance(told["carbonate"], bool), "without it the phone must think of carbonate in every load"
    keeper.turn(5)
    assert client.get(firing).json["rev"] == first
    thing = firing.split("/")[2]
    demo.extensions["bench"].journal.write("noted", thing, {"what": "words", "value": "wind"})
    assert client.get(firing).json["rev"] != first


def taken_in(client: Any, marks: dict[str, str]) -> list[str]:
    """Takes in as a phone does: gives the pages that it has to fetch, and keeps their marks."""
    bench = client.get("/bench/offline.json").json
    lists = [bench, *(client.get(address).json for address in bench["more"])]
    assert all(found["rev"] == bench["revs"][address] for address, found in zip(bench["more"], lists[1:], strict=True))
    pages = [
        (a, mark) for found in lists for a, mark in found["items"] if not a.startswith(("/static/", "/steps.json"))
    ]
    found = list(dict.fromkeys(address for address, mark in pages if mark is None or marks.get(address) != mark))
    for address in found:
        with client.get(address, headers={"X-Bench-Pin": address}, follow_redirects=True) as answer:
            marks[address] = answer.headers["X-Bench-Mark"]
    return found


def test_after_a_reading_a_phone_fetches_no_page(demo: Flask, keeper: Any) -> None:
    """The reading itself goes to it as data; the page of the fire is drawn from it."""
    client, here = demo.test_client(), demo.extensions["bench"]
    fire, marks = here.state.open_things("firing")[0], {}
    assert "/" in taken_in(client, marks)
    assert taken_in(client, marks) == [], "nothing has changed"
    for c in (612.0, 634.0):
        keeper.turn(3)
        here.journal.write("reading", fire, {"c": c})
        assert taken_in(client, marks) == []
        told = client.get(f"/firing/{fire}/offline.json").json["told"][fire]
        assert told["readings"][-1][1] == c


def test_what_is_done_with_a_batch_changes_its_list_and_not_that_of_another(demo: Flask) -> None:
    client, here, marks = demo.test_client(), demo.extensions["bench"], {}
    taken_in(client, marks)
    one, *others = here.state.open_things("batch")
    lists = client.get("/bench/offline.json").json["revs"]
    here.journal.write("mixed", one, {"medium": "none", "minutes": 5})
    found = taken_in(client, marks)
    assert "/" in found and not [page for page in found if page.startswith("/batch/")], "the phone draws those"
    now = client.get("/bench/offline.json").json["revs"]
    assert others and [a for a in lists if now[a] != lists[a] and "/batch/" in a] == [f"/batch/{one}/offline.json"]


def test_what_a_phone_draws_is_told_as_facts_with_what_the_rules_say_to_each_answer(demo: Flask) -> None:
    """A sealed lid is held only where it is chosen; of each step a phone is told, also where nothing is against it."""
    client, here = demo.test_client(), demo.extensions["bench"]
    bench = client.get("/bench/offline.json").json
    charge = here.state.open_things("charge")[0]
    assert {f"/charge/{charge}{page}" for page in ("", "/dry", "/cool", "/open")} <= {*bench["draws"]}
    assert bench["drawn"]["minds"][charge].keys() == {"dry"} and bench["told"][charge]["cooling"][0]
    for batch in here.state.open_things("batch"):
        found = client.get(f"/batch/{batch}/offline.json").json
        assert f"/batch/{batch}/grind" in found["draws"] and not [a for a, _ in found["items"] if a.endswith("/grind")]
        minds = found["drawn"]["minds"][batch]
        assert minds.keys() == {"weigh", "grind", "dry", "load"} and found["drawn"]["feet"][batch]["dry"]
        sealed = [one for one in minds["load"] if one["rule"] == "sealed-gassing"]
        assert sealed and all("lid" in str(one["when"]) for one in sealed)
        assert not [one for one in sealed if "loose" in str(one["when"])], "for no other lid"


def test_every_page_of_a_fire_is_drawn_and_none_is_stored(demo: Flask) -> None:
    client, here = demo.test_client(), demo.extensions["bench"]
    fire = here.state.open_things("firing")[0]
    found = client.get(f"/firing/{fire}/offline.json").json
    pages = ("", "/reading", "/note", "/off", "/watch", "/timer", "/map", "/hands", "/in", "/out", "/close")
    lists = tuple(f"/checks/{phase}" for phase in found["told"][fire]["lists"])
    assert not found["items"] and len(lists) == 4
    assert {f"/firing/{fire}{page}" for page in (*pages, *lists)} <= {*found["draws"]}
    assert f"/firing/{fire}/light" not in found["draws"], "that is a key alone"
    drawn = found["drawn"]
    assert {"light", "fire", "open"} <= drawn["feet"][fire].keys() and "shut-down" in drawn["minds"][fire]
    known = drawn["fires"][fire]
    assert "wind" in [what for what, _words, _values in known["notes"]]
    assert {*known["hands"]} == {one for one, told in found["told"].items() if told["sort"] == "charge"}


def test_a_list_that_a_phone_has_is_not_sent_again_and_nothing_is_read_for_it(demo: Flask) -> None:
    client, here = demo.test_client(), demo.extensions["bench"]
    fire = here.state.open_things("firing")[0]
    for address in ("/bench/offline.json", f"/firing/{fire}/offline.json"):
        known = client.get(address)
        again = {"If-None-Match": known.headers["ETag"]}
        with here.state.noticing() as reads:
            same = client.get(address, headers=again)
        assert same.status_code == 304 and not same.data and int(same.headers["X-Bench-At"]) == here.now_ms()
        assert not [key for key in reads if key[1] in ("reading", "weighed", "charged")]
        here.journal.write("noted", fire, {"what": "words", "value": f"wind at {address}"})
        assert client.get(address, headers=again).status_code == 200


def test_a_list_that_a_phone_draws_is_told_in_the_words_of_its_page_and_in_its_order(demo: Flask) -> None:
    client, here = demo.test_client(), demo.extensions["bench"]
    for batch in here.state.open_things("batch"):
        told = client.get(f"/batch/{batch}/offline.json").json["told"][batch]
        for phase, page in (("before-weighing", "weigh"), ("before-loading", "load")):
            text, asked = client.get(f"/batch/{batch}/{page}?checks=1").text, told["lists"][phase]["asks"]
            assert [one["slug"] for one in asked] == re.findall(r'<h2 id="([\w-]+)"', text)
            assert told["checks"][phase].keys() == {one["slug"] for one in asked}
            said = [one[name] for one in asked for name in ("says", "without", "apart") if one.get(name)]
            assert said and all(str(escape(words)) in text for words in said)
            assert all(str(escape(words)) in text for _kind, words in told["lists"][phase]["lines"])


def test_a_phone_is_told_of_each_charge_and_of_no_code_that_two_things_bear(demo: Flask) -> None:
    """A scan names the batch of a crucible; which of two things it is, the laptop asks."""
    client, here = demo.test_client(), demo.extensions["bench"]
    found = client.get("/bench/offline.json").json
    charges = here.state.open_things("charge")
    told = {thing: one for thing, one in found["told"].items() if one["sort"] == "charge"}
    assert charges and set(told) == set(charges)
    assert all(one["of"] and one["in_heat"] in (True, False) for one in told.values())
    code = next(iter(found["codes"]))
    jar = next(one for one in here.state.open_things("jar") if here.state.code_of(one) != code)
    here.journal.write("code.assigned", jar, {"code": code, "thing": jar})
    assert code not in client.get("/bench/offline.json").json["codes"]


def test_of_many_powders_and_jars_a_phone_is_told_first_of_those_to_which_something_open_refers(demo: Flask) -> None:
    """Older than the newest sixty, and one that was kept already: each has a swatch that waits for its verdict."""
    client, here = demo.test_client(), demo.extensions["bench"]
    write = here.journal.write
    made = [write("gathered", None, {"sources": [{"g": 1.0}]}).id for _n in range(MOST_DRAWN + 3)]
    for one in made[1:3]:
        write("swatch.made", None, {"pigment": one, "binder": "gum arabic"})
    write("judged", made[2], {"verdict": "keep"})
    plans = [here.state.slot(one, "batch.planned").body for one in here.state.open_things("batch")]
    taken = {line.jar for plan in plans for line in plan.lines if line.jar is not None}
    for _n in range(MOST_DRAWN):
        write("jar.opened", None, {"reagent": "zinc-oxide", "formula": "ZnO"})
    found = client.get("/bench/offline.json").json
    assert taken and {*made[1:3], made[-1], *taken} <= found["told"].keys() and made[0] not in found["told"]
    assert found["told"][made[2]]["state"] == "kept" and set(made[1:3]) <= found["drawn"]["minds"].keys()
    assert {f"/{page}/{one}" for page in ("jar", "weigh/jar") for one in taken} <= {*found["draws"]}
    assert all(one["name"] != "zinc-oxide" for one in found["told"].values() if one["sort"] == "jar")


def test_a_long_firing_is_told_with_its_newest_readings_whole_and_its_peaks(demo: Flask, keeper: Any) -> None:
    """The beginning is not cut off: by it a phone knows which stretch the fire is in."""
    here, client = demo.extensions["bench"], demo.test_client()
    fire = here.state.open_things("firing")[0]
    for n in range(1200):
        keeper.turn(0.5)
        here.journal.write("reading", fire, {"c": 1301.0 if n == 300 else 400.0 + n / 4})
    told = client.get(f"/firing/{fire}/offline.json").json["told"][fire]
    readings = told["readings"]
    assert len(readings) < 800 and [c for _, c in readings[-400:]] == [400.0 + n / 4 for n in range(800, 1200)]
    assert 1301.0 in [c for _, c in readings] and readings == sorted(readings)
    assert told["stretches"] and told["probe"]["pieces"]


def test_a_list_of_nothing_is_not_here(demo: Flask) -> None:
    client = demo.test_client()
    for what in ("batch", "firing"):
        assert client.get(f"/{what}/01J9ZZZZZZZZZZZZZZZZZZZZZZ/offline.json").status_code == 404


def test_the_worker_knows_its_version_and_may_serve_everything(app: Flask, client: Any) -> None:
    answer = client.get("/worker.js")
    assert answer.mimetype == "text/javascript" and answer.headers["Cache-Control"] == "no-cache"
    text = answer.get_data(as_text=True)
    assert text.startswith('const VERSION = "')
    assert 'method !== "GET"' in text, "records never go through the worker"


def test_the_app_can_be_put_on_the_start_screen(client: Any) -> None:
    answer = client.get("/app.webmanifest")
    assert answer.mimetype == "application/manifest+json"
    found = json.loads(answer.get_data())
    assert found["display"] == "standalone" and found["start_url"] == "/" and found["scope"] == "/"
    sizes = {(icon["sizes"], icon["purpose"]) for icon in found["icons"]}
    assert sizes == {(size, look) for size in ("192x192", "512x512") for look in ("any", "maskable")}
    for icon in found["icons"]:
        with client.get(icon["src"]) as picture:
            assert picture.data[:8] == b"\x89PNG\r\n\x1a\n"
            assert int.from_bytes(picture.data[16:20]) == int(icon["sizes"].split("x")[0])
