"""Crucibles: added with a code for life, seen again and again, ended by a crack; and what each one held."""

import re
from typing import Any

from flask import Flask
from flask.testing import FlaskClient

from bench.workshop.things.crucibles import crucible

ID = "01K9V0000000000000000000D1"
BATCH = "01K9V0000000000000000000E1"
CHARGE = "01K9V0000000000000000000F1"


def add(send: Any, **more: Any) -> Any:
    """Add a crucible, as its page would."""
    return send("/crucibles/new", {"record_id": ID, "ware": "alumina-99", "volume_ml": "30"} | more)


def vessel(app: Flask) -> Any:
    """The crucible that was added."""
    view = crucible(app.extensions["bench"].state, ID)
    assert view is not None
    return view


def fill(app: Flask) -> None:
    """Put a charge of zinc and iron oxide into it."""
    write = app.extensions["bench"].journal.write
    lines = [{"line": 0, "formula": "ZnO", "target_g": 8.0}, {"line": 1, "formula": "Fe2O3", "target_g": 16.0}]
    write("batch.planned", None, {"name": "Walnut", "from": "target", "lines": lines}, id=BATCH)
    write("charged", None, {"crucible": ID, "sources": [{"batch": BATCH, "g": 12.5}]}, id=CHARGE)


def test_an_empty_rack(client: FlaskClient) -> None:
    """It says what comes first."""
    assert "No crucible yet" in client.get("/crucibles").text


def test_a_crucible_with_all_its_facts(app: Flask, client: FlaskClient, send: Any) -> None:
    """Ware, volume, tare, lid, mark and a code; the ware gives its rating (99 % alumina: 1650 °C, common practice)."""
    answer = add(send, tare_g="41,2", lid_g="12.1", mark="stamped 7")
    assert answer.status_code == 303 and answer.location == f"/crucible/{ID}"
    found = vessel(app)
    assert (found.tare_g, found.lid_g, found.rated_c, found.condition) == (41.2, 12.1, 1650, "clean")
    assert found.standing == "free" and found.code in app.extensions["bench"].state.issued
    page = client.get(f"/crucible/{ID}").text
    assert "1650 °C" in page and "41.20 g" in page and "stamped 7" in page and "shock-prone" in page.lower()
    assert "Alumina 99, 30 mL" in client.get("/crucibles").text and f"/print/tags?code={found.code}" in page


def test_another_like_it_starts_with_its_values(client: FlaskClient, send: Any) -> None:
    """Six alike are quickly added; what each weighs is its own, and is asked first."""
    add(send, tare_g="41.2", lid_g="12.1")
    page = client.get(f"/crucible/{ID}").text
    link = page.split('href="/crucibles/new?')[1].split('"')[0].replace("&amp;", "&")
    asked = client.get(f"/crucibles/new?{link}").text
    assert 'value="alumina-99" selected' in asked and 'value="30"' in asked
    assert "41.2" not in asked and "12.1" not in asked and re.search(r'id="tare_g"[^>]* autofocus', asked)
    assert "autofocus" not in client.get("/crucibles/new").text


BAD = (
    ({"ware": ""}, "Choose one of these"),
    ({"ware": "chocolate"}, "Choose one of these"),
    ({"volume_ml": ""}, "Type a number"),
    ({"volume_ml": "0"}, "At least"),
    ({"volume_ml": "-5"}, "minus sign"),
    ({"tare_g": "1,5.5"}, "comma and a point"),
    ({"tare_g": "abc"}, "digit"),
    ({"rated_c": "2400"}, "takes at most 1700 °C"),
    ({"ware": "glazed-porcelain", "rated_c": "1250"}, "takes at most 1050 °C"),
    ({"mark": "x" * 100_000}, "at most 80"),
    ({"mark": "a\x00"}, "control character"),
    ({"code": "T5C7HJ"}, "never issued"),
    ({"code": "T5C7HO"}, "letter O"),
    ({"happened": "99:99"}, "hours and minutes"),
)


def test_bad_input_stands_beside_its_field(app: Flask, send: Any) -> None:
    """A plain sentence, what was typed kept, nothing recorded."""
    for fields, words in BAD:
        answer = add(send, **({"lid_g": "12.345"} | fields))
        assert answer.status_code == 422 and words in answer.text and "12.345" in answer.text, fields
    assert not app.extensions["bench"].journal.by("kind", "crucible.added")


def test_sent_again_it_is_one_crucible(app: Flask, send: Any) -> None:
    """Ten deliveries of one submit are one vessel with one code."""
    assert {add(send, tare_g="41.2").status_code for _ in range(10)} == {303}
    here = app.extensions["bench"]
    kinds = ("crucible.added", "crucible.seen", "code.issued", "code.assigned")
    assert [len(here.journal.by("kind", kind)) for kind in kinds] == [1, 1, 1, 1]


def test_it_holds_a_charge_and_remembers_it(app: Flask, client: FlaskClient, send: Any) -> None:
    """The page leads to the open charge and says which elements it met since it was clean."""
    add(send)
    fill(app)
    page = client.get(f"/crucible/{ID}").text
    assert f'href="/charge/{CHARGE}"' in page and "Walnut" in page and "Fe, O, Zn" in page
    assert "Holding something" in client.get("/crucibles").text
    assert "It holds Walnut" in client.get(f"/crucible/{ID}/seen").text


def test_seen_again(app: Flask, client: FlaskClient, send: Any) -> None:
    """A new tare counts from then on; a crack ends it."""
    add(send, tare_g="41.2")
    assert send(f"/crucible/{ID}/seen", condition="stained", tare_g="41.65").status_code == 303
    assert (vessel(app).tare_g, vessel(app).standing) == (41.65, "to-clean")
    send(f"/crucible/{ID}/seen", condition="clean")
    assert (vessel(app).tare_g, vessel(app).standing) == (41.65, "free")
    send(f"/crucible/{ID}/seen", condition="cracked")
    assert vessel(app).standing == "ended" and "Out of use" in client.get("/crucibles").text


def test_bad_sights(app: Flask, send: Any) -> None:
    """Refused beside the field."""
    add(send)
    for fields in (
        {},
        {"condition": "fine"},
        {"condition": "clean", "tare_g": "0"},
        {"condition": "clean", "lid_g": "x"},
    ):
        assert send(f"/crucible/{ID}/seen", fields).status_code == 422
    assert len(app.extensions["bench"].journal.by("kind", "crucible.seen")) == 1


def test_no_such_crucible(client: FlaskClient, send: Any) -> None:
    """The calm page; the wrong method too."""
    for path in ("/crucible/nothing", "/crucible/01K9V0000000000000000000ZZ", "/crucible/x/seen", "/crucible/%00/seen"):
        assert client.get(path).status_code == 404
        assert send(path, condition="clean").status_code in (404, 405)
    assert send("/crucibles").status_code == 405


def test_an_undone_crucible_is_gone(app: Flask, client: FlaskClient, send: Any) -> None:
    """Undo withdraws all that its one submit recorded, its code too."""
    add(send)
    page = client.get("/crucibles").text
    ids = page.split('name="ids" value="')[1].split('"')[0]
    assert send("/undo", ids=ids, back="/crucibles").status_code == 303
    assert client.get(f"/crucible/{ID}").status_code == 404
    assert "No crucible yet" in client.get("/crucibles").text
    assert not app.extensions["bench"].state.things("crucible")
