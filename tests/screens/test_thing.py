"""The page of anything: every record in order with what became of it, lineage to the gram, flags, disagreements."""

import re
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.screens.making import Making
from tests.workshop.builder import lines
from tests.workshop.everything import THINGS, history

WALNUT = lines(("ZnO", 8.0), ("Fe2O3", 16.0))


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    """Records that earlier steps would have left."""
    return Making(app, keeper)


def text_of(client: FlaskClient, path: str) -> str:
    """A page without its tags."""
    answer = client.get(path)
    assert answer.status_code == 200, path
    return " ".join(re.sub(r"<[^>]+>", " ", answer.text).split())


def test_every_record_stands_there_in_order(make: Making, client: FlaskClient) -> None:
    """What it is, what it says with its unit, when, on which device."""
    batch = make.batch(WALNUT, name="Walnut")
    make.weigh(batch, 8.01, 16.02)
    make.add("mixed", {"medium": "dry", "minutes": 20.0}, batch)
    page = text_of(client, f"/thing/{batch}")
    assert "4 records" in page
    places = [page.index(words) for words in ("Batch planned", "Net 8.01 g", "Net 16.02 g", "Ground and mixed")]
    assert places == sorted(places)
    assert "zinc oxide" in page and "Time 20 min" in page and "Device laptop" in page


def test_late_corrected_and_withdrawn_stay_in_sight(make: Making, client: FlaskClient) -> None:
    """Marked, with when and why; nothing is gone."""
    batch = make.batch(WALNUT, name="Walnut")
    first, second = make.weigh(batch, 8.01, 16.02)
    corrected = make.correct(first, net_g=8.04)
    make.add("noted", {"what": "words", "value": "misread"}, batch, also={"record": corrected.id})
    make.add("withdrawn", {"ids": [second.id], "why": "wrong batch"}, second.id)
    make.add("mixed", {"medium": "dry"}, batch, happened=90)
    answer = client.get(f"/thing/{batch}").text
    assert answer.count('class="record undone"') == 2
    page = text_of(client, f"/thing/{batch}")
    assert re.search(r"corrected 2026-\d\d-\d\d \d\d:\d\d: misread", page) and "corrects another: misread" in page
    assert re.search(r"withdrawn 2026-\d\d-\d\d \d\d:\d\d: wrong batch", page)
    assert "entered 2026-" in page and "Noted" not in page


def test_times_stand_in_the_records_own_zone(make: Making, client: FlaskClient, keeper: Any) -> None:
    """What was recorded in another zone keeps its clock."""
    keeper.zone = 120
    batch = make.batch(WALNUT)
    keeper.zone = -300
    assert "2026-11-12 10:00" in text_of(client, f"/thing/{batch}")


def test_lineage_names_every_gram_both_firings_and_what_was_lost(make: Making, client: FlaskClient) -> None:
    """From the swatch down to the weighed lines: 12.5 g of 24.04 g hold 12.5 · 8.04/24.04 = 4.18 g of zinc oxide."""
    batch = make.batch(WALNUT, name="Walnut")
    make.weigh(batch, 8.04, 16.0)
    charge = make.charge({"batch": batch, "g": 12.5})
    furnace = make.furnace(name="Yard furnace")
    for name in ("Stalled", "Second try"):
        fire = make.firing(furnace, name=name)
        make.placed(charge, fire)
        make.lit(fire)
        make.wait(30)
        make.reading(fire, 640.0)
        make.off(fire, "stalled")
        make.closed(fire)
    make.lost(charge, 0.75)
    swatch = make.swatch(make.opened(charge))
    page = text_of(client, f"/thing/{swatch}")
    for said in ("4.18", "8.32", "12.50", "0.75 g were lost", "Stalled", "Second try", "firing 2 of 2", "zinc oxide"):
        assert said in page, said
    for thing in (batch, charge):
        assert f'href="/thing/{thing}"' in client.get(f"/thing/{swatch}").text
    assert "Made from it" in text_of(client, f"/thing/{batch}")


def test_a_disagreement_is_shown_with_a_way_to_settle_it(make: Making, client: FlaskClient) -> None:
    """Who said what, when; the first one goes on, and nothing is chosen silently."""
    batch = make.batch(WALNUT)
    [first] = make.weigh(batch, 8.01)
    make.add("weighed", {"line": 1, "net_g": 8.1}, batch)
    page = text_of(client, f"/thing/{batch}")
    assert "Records disagree: Weighed" in page and "8.01 g Net" in page and "8.1 g Net" in page
    assert f"/thing/{batch}/correct/{first.id}" in client.get(f"/thing/{batch}").text


def test_two_records_under_one_id_are_shown(make: Making, client: FlaskClient, send: Any) -> None:
    """A stored page sent twice with something else in it: the thing shows both, and so does the answer."""
    fields = {"record_id": "01K9V0000000000000000000D1", "ware": "mullite", "volume_ml": "30"}
    send("/crucibles/new", fields)
    answer = send("/crucibles/new", fields, volume_ml="50")
    assert answer.status_code == 409 and "/thing/01K9V0000000000000000000D1/correct/" in answer.text
    page = text_of(client, "/thing/01K9V0000000000000000000D1")
    assert "Two versions of one record" in page and "30 mL Volume" in page and "50 mL Volume" in page


def test_flags_stand_on_the_page(make: Making, client: FlaskClient) -> None:
    """What was lit in spite of a check."""
    fire = make.firing()
    make.add("lit", {"deviations": ["No CO alarm was tested."]}, fire)
    assert "Lit although: No CO alarm was tested." in text_of(client, f"/thing/{fire}")


def test_many_records_are_paged(make: Making, client: FlaskClient) -> None:
    """A long firing is read piece by piece, and every piece is reached."""
    fire = make.firing()
    for n in range(150):
        make.reading(fire, 20.0 + n)
    first = text_of(client, f"/thing/{fire}")
    assert "151 records, 1 to 12" in first and "Later" in first and "Temperature 169 °C" not in first
    assert "Temperature 169 °C" in text_of(client, f"/thing/{fire}?from=144")
    for odd in ("-1", "x", "999999999999999999999", "1e9", "٣"):
        assert client.get(f"/thing/{fire}?from={odd}").status_code == 200


def test_a_thing_whose_making_was_withdrawn(make: Making, client: FlaskClient) -> None:
    """The records stay visible."""
    batch = make.batch(WALNUT)
    make.add("withdrawn", {"ids": [batch], "why": "by mistake"}, batch)
    page = text_of(client, f"/thing/{batch}")
    assert "Withdrawn." in page and "by mistake" in page


def test_no_such_thing(client: FlaskClient, send: Any) -> None:
    """The calm page."""
    for path in ("/thing/nothing", "/thing/01K9V0000000000000000000ZZ", "/thing/%00", "/thing/.."):
        assert client.get(path).status_code in (404, 308)
        assert send(path).status_code in (404, 405)


def test_whatever_was_recorded_can_be_looked_at(app: Flask, client: FlaskClient) -> None:
    """Hundreds of records of every kind, in rings and disagreements: every page opens, and every record's form."""
    journal = app.extensions["bench"].journal
    found = history(range(5_000, 5_400))
    raws = [record.to_dict() | {"device": f"phone-{n}", "seq": 1} for n, record in enumerate(found)]
    journal.receive(raws)
    for path in ("/shelf", "/crucibles", "/furnaces", "/settings"):
        assert client.get(path).status_code == 200, path
    for thing in THINGS:
        for path in (
            f"/thing/{thing}",
            f"/jar/{thing}",
            f"/jar/{thing}/assay",
            f"/crucible/{thing}",
            f"/furnace/{thing}",
        ):
            assert client.get(path).status_code in (200, 404), path
    seen = 0
    for record in found[::4]:
        answer = client.get(f"/thing/{record.subject}/correct/{record.id}")
        assert answer.status_code in (200, 404), record.kind
        seen += answer.status_code == 200
    assert seen > 80
