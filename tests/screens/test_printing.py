"""Printing: issued before printed, one page a sheet, read back by a decoder that is not ours."""

import builtins
import re
from typing import Any

import pypdfium2
import pytest
import zxingcpp
from flask import Flask
from flask.testing import FlaskClient

from tests.conftest import Keeper
from tests.screens.test_sheet import prepare


def symbols(data: bytes) -> list[str]:
    """Every symbol on every page of a PDF, as an independent decoder reads it."""
    document = pypdfium2.PdfDocument(data)
    found: list[str] = []
    for number in range(len(document)):
        picture = document[number].render(scale=300 / 72).to_pil().convert("L")
        found += [read.text for read in zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)]
    document.close()
    return found


def pages_of(data: bytes) -> int:
    document = pypdfium2.PdfDocument(data)
    count = len(document)
    document.close()
    return count


def test_codes_are_on_the_disk_before_their_sheet(app: Flask, client: FlaskClient, send) -> None:  # type: ignore[no-untyped-def]
    answer = send("/print/tags", {"count": "24", "sheet": "a4-24", "start": "1"})
    assert answer.status_code == 303
    issued = app.extensions["bench"].state.issued
    assert len(issued) == 24
    printed = client.get(answer.headers["Location"] + "&pdf=1")
    assert printed.mimetype == "application/pdf"
    assert pages_of(printed.data) == 1
    assert sorted(symbols(printed.data)) == sorted([*issued, *issued])


def test_the_same_submit_issues_once(app: Flask, client: FlaskClient, send) -> None:  # type: ignore[no-untyped-def]
    found = re.search(r'name="record_id" value="(\w{26})"', client.get("/print").get_data(as_text=True))
    assert found
    fields = {"count": "3", "sheet": "letter-24", "start": "2", "record_id": found[1]}
    first, again = send("/print/tags", fields), send("/print/tags", fields)
    assert first.headers["Location"] == again.headers["Location"]
    assert len(app.extensions["bench"].state.issued) == 3


@pytest.mark.parametrize(
    "wrong", [{"count": "0"}, {"count": "many"}, {"count": "2.5"}, {"start": "25"}, {"sheet": "b5"}, {"count": "999"}]
)
def test_wrong_sheets_are_refused_beside_the_field(app: Flask, send, wrong: dict[str, str]) -> None:  # type: ignore[no-untyped-def]
    fields = {"count": "24", "sheet": "a4-24", "start": "1"} | wrong
    answer = send("/print/tags", fields)
    assert answer.status_code == 422
    assert 'class="complaint"' in answer.get_data(as_text=True)
    assert not app.extensions["bench"].state.issued


@pytest.mark.parametrize("what", ["batch", "firing"])
def test_a_run_sheet_is_one_page_with_every_row(app: Flask, client: FlaskClient, what: str) -> None:
    made = prepare(app)
    path = f"/print/sheet/{what}/{made[what]}"
    assert pages_of(client.get(path + "?pdf=1").data) == 1
    text = client.get(path).get_data(as_text=True)
    assert "Guidance only" in text
    entered = client.get(f"/sheet/{what}/{made[what]}").get_data(as_text=True)
    numbers = re.findall(r'<span class="no">([\d.]+)</span>', text)
    assert numbers == re.findall(r'<b class="num">([\d.]+)</b>', entered)


def test_a_load_card_names_its_charge_and_never_opens_hot_from_memory(
    app: Flask, client: FlaskClient, keeper: Keeper
) -> None:
    made = prepare(app)
    journal = app.extensions["bench"].journal
    plan = {
        "name": "Yard green",
        "from": "grams",
        "lines": [{"line": 1, "formula": "CoO", "target_g": 1.5}],
        "target_formula": "Zn0.78Co0.22O",
        "cooling_mode": "fast",
        "cooling_basis": "memory",
        "hot_pull": True,
    }
    batch = journal.write("batch.planned", None, plan).id
    journal.write("charged", None, {"crucible": made["pot"], "sources": [{"batch": batch, "g": 1.5}], "lid": "loose"})
    text = client.get("/print/load-cards").get_data(as_text=True)
    assert "Yard green" in text and "Leave in: cooling not known" in text and "No hot pull" in text
    assert "T5C7H-J" in text and "GHS08" in text
    # It is dated with the day of its filling, whenever it is printed.
    filled = next(r.local for r in app.extensions["bench"].state.records.values() if r.kind == "charged")
    keeper.turn(3 * 24 * 60)
    assert f"Filled {filled:%Y-%m-%d}" in client.get("/print/load-cards").get_data(as_text=True)
    data = client.get("/print/load-cards?pdf=1").data
    assert symbols(data) == ["T5C7HJ"] and pages_of(data) == 1


def test_a_name_that_has_no_room_on_its_load_card_is_refused_in_a_sentence(app: Flask, client: FlaskClient) -> None:
    made, journal = prepare(app), app.extensions["bench"].journal
    lines = [{"line": 1, "formula": "CoO", "target_g": 1.5}]
    batch = journal.write("batch.planned", None, {"name": "Blue " * 200, "from": "grams", "lines": lines}).id
    journal.write("charged", None, {"crucible": made["pot"], "sources": [{"batch": batch, "g": 1.5}], "lid": "loose"})
    for way in ("", "?pdf=1"):
        answer = client.get("/print/load-cards" + way)
        assert answer.status_code == 422
        assert "The load card T5C7H-J has no room for its text. Shorten the name Blue" in answer.get_data(as_text=True)


@pytest.fixture
def no_pango(monkeypatch: pytest.MonkeyPatch) -> None:
    """As on a computer without Pango: what sets the pages cannot be loaded."""
    real = builtins.__import__

    def lacking(name: str, *more: Any, **other: Any) -> Any:
        if name == "weasyprint":
            raise OSError("cannot load library 'pango'")
        return real(name, *more, **other)

    monkeypatch.setattr(builtins, "__import__", lacking)


@pytest.mark.usefixtures("no_pango")
def test_without_pango_everything_prints_from_the_browser_and_the_pdf_is_refused(
    app: Flask, client: FlaskClient
) -> None:
    made, journal = prepare(app), app.extensions["bench"].journal
    source = {"batch": made["batch"], "g": 1.5}
    journal.write("charged", None, {"crucible": made["pot"], "sources": [source], "lid": "loose"})
    jar = app.extensions["bench"].state.things("jar")[0]
    for path in (
        "/print/load-cards?",
        f"/print/labels?thing={jar}&sheet=a4-8",
        f"/print/sheet/batch/{made['batch']}?",
        f"/print/sheet/firing/{made['firing']}?",
        f"/print/record/firing/{made['firing']}?",
    ):
        shown, refused = client.get(path), client.get(path + "&pdf=1")
        assert shown.status_code == 200 and "<main class=" in shown.get_data(as_text=True), path
        assert refused.status_code == 422 and "Pango is missing" in refused.get_data(as_text=True), path


def test_nothing_to_print_is_a_calm_404(client: FlaskClient) -> None:
    for path in ("/print/load-cards", "/print/tags", "/print/sheet/batch/x", "/print/tags?sheet=no"):
        assert client.get(path).status_code == 404
    assert client.get("/print").status_code == 200


def test_a_printed_page_has_a_screen_that_prints_gives_the_pdf_and_leads_back(app: Flask, client: FlaskClient) -> None:
    made, jar = prepare(app), app.extensions["bench"].state.things("jar")[0]
    for path, back in (
        ("/print/tags?code=T5C7HJ", f"/crucible/{made['pot']}"),
        (f"/print/labels?thing={jar}", f"/jar/{jar}"),
        (f"/print/sheet/batch/{made['batch']}", f"/batch/{made['batch']}"),
        (f"/print/record/firing/{made['firing']}", f"/firing/{made['firing']}"),
        ("/print/shelf", "/shelf"),
        ("/print/calibrate/page?sheet=a4-8", "/print/calibrate?sheet=a4-8"),
    ):
        text = client.get(path).get_data(as_text=True)
        keys = text[text.index('<aside class="paper-keys"') :]
        assert f'<a href="{back}">Back</a>' in keys and "data-print" in keys, path
        assert f'<a href="{path}{"&amp;" if "?" in path else "?"}pdf=1">PDF</a>' in keys, path
        assert client.get(back).status_code == 200, back


def test_a_printed_page_keeps_the_emergency_key_while_a_fire_burns(app: Flask, client: FlaskClient) -> None:
    made = prepare(app)
    calm = client.get("/print/shelf").get_data(as_text=True)
    app.extensions["bench"].journal.write("lit", made["firing"], {"deviations": []})
    burning = client.get("/print/shelf").get_data(as_text=True)
    assert 'href="/emergency"' not in calm and 'href="/emergency"' in burning


def test_the_paper_that_was_chosen_is_taken_next_time(app: Flask, client: FlaskClient) -> None:
    prepare(app)
    assert 'value="a4-24" selected' in client.get("/print/tags?code=T5C7HJ").get_data(as_text=True)
    client.get("/print/tags?code=T5C7HJ&sheet=letter-24")
    client.get("/print/tags?code=T5C7HJ&sheet=tag-18")
    assert 'value="letter-24" selected' in client.get("/print/tags?code=T5C7HJ").get_data(as_text=True)


def test_a_document_is_set_on_letter_and_stays_so(app: Flask, client: FlaskClient) -> None:
    made = prepare(app)
    sources = [{"batch": made["batch"], "g": 1.5}]
    app.extensions["bench"].journal.write("charged", None, {"crucible": made["pot"], "sources": sources})
    cards = client.get("/print/load-cards?sheet=letter").text
    assert "size: 215.9mm 279.4mm" in cards and 'value="letter" selected' in cards
    for path in ("/print/shelf", f"/print/record/firing/{made['firing']}", f"/print/record/batch/{made['batch']}"):
        assert "@page { size: Letter;" in client.get(path).text, path
    sheet = pypdfium2.PdfDocument(client.get(f"/print/sheet/firing/{made['firing']}?pdf=1").data)
    assert [len(sheet), *sheet[0].get_size()] == [1, 612, 792]
    sheet.close()
    assert "@page { size: A4;" in client.get("/print/shelf?sheet=a4").text
