"""A firing's record: one page of PDF, read back from the page, whatever the load; and its curve as a file."""

from typing import Any
from xml.etree import ElementTree

import pypdfium2
import pytest
import zxingcpp
from flask import Flask
from flask.testing import FlaskClient

from tests.screens.making import Making
from tests.screens.test_firing import prepare

CODE = "7K3MQX"


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    """Puts records into the open bench."""
    return Making(app, keeper)


def fired(app: Flask, make: Making) -> dict[str, str]:
    """A firing with one charge: lit, read every quarter of an hour to 900 °C, out at heat, off."""
    made = prepare(app)
    fire = made["firing"]
    make.add("code.issued", {"codes": [CODE]})
    make.add("code.assigned", {"code": CODE, "thing": fire}, subject=fire)
    make.add("lit", {}, subject=fire)
    make.add("went.in", {"firing": fire, "charge": made["charge"]}, subject=made["charge"])
    for c in (20, 300, 520, 700, 820, 893, 900, 904, 902, 901):
        make.add("reading", {"c": c, "raw": c, "raw_unit": "C"}, subject=fire)
        make.wait(15)
    make.add("noted", {"what": "flame", "value": "sooty"}, subject=fire)
    out = {"firing": fire, "charge": made["charge"], "rest_place": "brick stand"}
    make.add("came.out", out, subject=made["charge"])
    make.add("fire.off", {"reason": "reached"}, subject=fire)
    return made


def printed(client: FlaskClient, firing: str) -> pypdfium2.PdfDocument:
    answer = client.get(f"/print/record/firing/{firing}?pdf=1")
    assert answer.status_code == 200 and answer.mimetype == "application/pdf"
    return pypdfium2.PdfDocument(answer.data)


def words_of(document: pypdfium2.PdfDocument) -> str:
    return " ".join(document[0].get_textpage().get_text_range().split())


def test_the_page_says_plan_measured_events_crucibles_gas_checks_and_sources(
    app: Flask, client: FlaskClient, make: Making
) -> None:
    made = fired(app, make)
    document = printed(client, made["firing"])
    assert len(document) == 1
    said = words_of(document)
    assert "Planned 1: to 900 °C as fast as it goes, held 60 min" in said
    assert "Measured: 10 readings" in said and "Hottest 904 °C" in said and "Shut down: finished as planned" in said
    assert "T5C7H-J" in said and "12 o’clock" in said and "brick stand" in said
    # Straight from 820 °C to 893 °C in 15 min: 890 °C is met 14.4 min on; the last reading is 60 min after 893 °C.
    assert "61 min" in said and "904 °C" in said
    assert "sooty" in said and "Before lighting: 0 of" in said and "Sources: Arrhenius" in said
    assert "not a crucible’s" in said and "SDS" in said
    picture = document[0].render(scale=300 / 72).to_pil().convert("L")
    read = zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)
    assert [one.text for one in read] == [CODE]
    document.close()


def test_a_summer_s_fire_keeps_its_clock_when_it_is_printed_in_winter(
    app: Flask, client: FlaskClient, make: Making, keeper: Any
) -> None:
    keeper.zone = 120
    made = fired(app, make)
    keeper.zone = 60
    document = printed(client, made["firing"])
    said = words_of(document)
    lit = app.extensions["bench"].state.slot(made["firing"], "lit").record
    clock = lit.local.strftime("%H:%M")
    assert f"Lit {lit.local:%Y-%m-%d} {clock}" in said and f"{clock} Lit" in said and f"from {clock}" in said
    document.close()


def test_it_stays_one_page_with_twelve_crucibles_and_two_hundred_notes(
    app: Flask, client: FlaskClient, make: Making
) -> None:
    made = fired(app, make)
    for n in range(11):
        pot = make.crucible(volume_ml=30.0)
        sources = [{"batch": made["batch"], "g": 0.3}]
        charge = make.add("charged", {"crucible": pot, "sources": sources, "lid": "loose"}).id
        place = {"firing": made["firing"], "tier": 1 + n // 6, "clock": 1 + n % 6}
        make.add("placed", place, subject=charge)
        make.add("went.in", {"firing": made["firing"], "charge": charge}, subject=charge)
    for n in range(200):
        make.add("noted", {"what": "words", "value": f"Note {n}: the flame leans to the left"}, subject=made["firing"])
    document = printed(client, made["firing"])
    assert len(document) == 1
    said = words_of(document)
    assert "Note 199" in said and "more; all of them are in the data file" in said
    document.close()


@pytest.mark.parametrize(("fuel", "begun"), [("gas", "Not lit"), ("electric", "Not switched on")])
def test_a_firing_that_was_only_planned_has_a_page_too(app: Flask, client: FlaskClient, fuel: str, begun: str) -> None:
    made = prepare(app, fuel)
    document = printed(client, made["firing"])
    assert begun in words_of(document) and "Nothing was read." in words_of(document)
    document.close()


def test_the_curve_is_a_file_of_its_own(app: Flask, client: FlaskClient, make: Making) -> None:
    made = fired(app, make)
    answer = client.get(f"/firing/{made['firing']}/curve.svg")
    assert answer.mimetype == "image/svg+xml" and "script-src" not in answer.headers["Content-Security-Policy"]
    drawing = ElementTree.fromstring(answer.data)
    assert drawing.tag == "{http://www.w3.org/2000/svg}svg"
    line = next(one for one in drawing.iter() if one.get("class") == "measured")
    assert (line.get("d") or "").count("L") == 9
    assert "Hottest 904 °C" in "".join(drawing.itertext())


@pytest.mark.parametrize("page", ["/print/record/firing/{}", "/print/record/firing/{}?pdf=1", "/firing/{}/curve.svg"])
def test_what_is_no_firing_has_no_record(app: Flask, client: FlaskClient, page: str) -> None:
    made = prepare(app)
    for thing in ("nothing", "0" * 26, made["charge"]):
        assert client.get(page.format(thing)).status_code == 404
