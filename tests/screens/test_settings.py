"""The settings: what the rules ask of a bench, kept as records; and where everything lies."""

from typing import Any

from flask import Flask
from flask.testing import FlaskClient
from markupsafe import escape

from bench.app import create_app
from bench.settings import Settings
from bench.workshop.conditions import of_bench

ALL = {
    "emergency_number": "112", "poison_number": "+49 30 000000", "place": "roofed", "airflow": "4,5", "room_m3": "30",
    "balance_d_g": "0.001", "person_pregnant_or_planning": "no",
}  # fmt: skip


def kept(app: Flask) -> dict[str, Any]:
    """The settings as they stand."""
    return dict(app.extensions["bench"].state.settings())


def test_every_setting_is_kept_and_shown(app: Flask, client: FlaskClient, send: Any) -> None:
    """One form, one record each."""
    assert send("/settings", ALL).status_code == 303
    assert kept(app) == ALL | {
        "airflow": 4.5, "room_m3": 30, "balance_d_g": 0.001, "person_pregnant_or_planning": False,
    }  # fmt: skip
    page = client.get("/settings").text
    for shown in ('value="112"', 'value="4.5"', 'value="roofed" checked', 'value="no" checked', 'value="0.001"'):
        assert shown in page, shown


def test_only_what_changed_is_recorded(app: Flask, send: Any) -> None:
    """A second submit of the same records nothing."""
    send("/settings", ALL)
    before = len(app.extensions["bench"].state.records)
    send("/settings", ALL)
    send("/settings", {})
    assert len(app.extensions["bench"].state.records) == before
    send("/settings", ALL | {"place": "outdoors"})
    assert len(app.extensions["bench"].state.records) == before + 1 and kept(app)["place"] == "outdoors"


def test_the_question_about_the_body(app: Flask, send: Any) -> None:
    """Yes, no, or no answer: unanswered leaves the rules to take the worse, and an answer can be taken back."""
    here = app.extensions["bench"]
    assert of_bench(here.state) == {}
    send("/settings", {"person_pregnant_or_planning": "unknown"})
    assert not here.state.records
    send("/settings", {"person_pregnant_or_planning": "yes"})
    assert of_bench(here.state) == {"person_pregnant_or_planning": True}
    send("/settings", {"person_pregnant_or_planning": "no"})
    assert of_bench(here.state) == {"person_pregnant_or_planning": False}
    send("/settings", {"person_pregnant_or_planning": "unknown"})
    assert of_bench(here.state) == {"person_pregnant_or_planning": "unknown"}
    assert all(set(record.data) == {"name", "value"} for record in here.state.records.values())


BAD = (
    ({"emergency_number": "help"}, "no digit"),
    ({"emergency_number": "1" * 41}, "at most 40"),
    ({"poison_number": "1\x07"}, "control character"),
    ({"place": "moon"}, "Choose one"),
    ({"airflow": "-1"}, "minus sign"),
    ({"airflow": "many"}, "digit"),
    ({"room_m3": "0"}, "At least"),
    ({"balance_d_g": "0"}, "At least"),
    ({"balance_d_g": "1.000,5"}, "comma and a point"),
    ({"person_pregnant_or_planning": "Asha"}, "Choose one"),
)


def test_bad_input_stands_beside_its_field(app: Flask, send: Any) -> None:
    """A plain sentence, what was typed kept, nothing recorded."""
    for fields, words in BAD:
        answer = send("/settings", ALL | {"room_m3": "41.75"} | fields)
        assert answer.status_code == 422 and words in answer.text, fields
        assert "room_m3" in fields or "41.75" in answer.text
    assert not kept(app)


def test_it_says_where_everything_lies(settings: Settings, keeper: Any) -> None:
    """The folder by its path, and what the journal has to say of the damage that it found on opening."""
    create_app(settings, keeper=keeper).extensions["bench"].journal.close()
    settings.file.write_bytes(settings.file.read_bytes() + b"torn")
    app = create_app(settings, keeper=keeper)
    try:
        here = app.extensions["bench"]
        page = app.test_client().get("/settings").text
        assert here.journal.report and str(settings.data) in page
        assert all(str(escape(sentence)) in page for sentence in here.journal.report)
    finally:
        app.extensions["bench"].journal.close()


def test_sent_again_it_is_one(app: Flask, send: Any) -> None:
    """The same submit delivered ten times."""
    fields = {"record_id": "01K9V0000000000000000000A1", "emergency_number": "112"}
    assert {send("/settings", fields).status_code for _ in range(10)} == {303}
    assert len(app.extensions["bench"].state.records) == 1
