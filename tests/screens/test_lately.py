"""What was recorded last stands beside a form on the laptop: newest first, five at most, nothing taken back."""

from typing import Any

from flask import Flask
from flask.testing import FlaskClient

from tests.screens.making import Making
from tests.screens.test_thing import text_of
from tests.workshop.builder import lines


def lately(client: FlaskClient, thing: str) -> str:
    """What a form about a thing says beside itself."""
    return text_of(client, f"/thing/{thing}/photo").partition("Recorded last")[2]


def test_the_last_records_stand_beside_a_form(app: Flask, keeper: Any, client: FlaskClient) -> None:
    make = Making(app, keeper)
    batch = make.batch(lines(*[("ZnO", 8.0)] * 6))
    assert "Batch planned" in lately(client, batch)
    make.weigh(batch, *[8.01 + n / 100 for n in range(6)])
    said = lately(client, batch)
    places = [said.index(f"Net 8.0{n} g") for n in (6, 5, 4, 3, 2)]
    assert places == sorted(places) and "8.01 g" not in said and "Batch planned" not in said


def test_what_was_withdrawn_is_not_among_them(app: Flask, keeper: Any, client: FlaskClient) -> None:
    make = Making(app, keeper)
    batch = make.batch(lines(("ZnO", 8.0)))
    wrong = make.weigh(batch, 8.88)[0].id
    assert "8.88 g" in lately(client, batch)
    app.extensions["bench"].journal.write("withdrawn", batch, {"ids": [wrong], "why": "misread"})
    assert "8.88 g" not in lately(client, batch) and "Batch planned" in lately(client, batch)


def test_what_is_no_form_has_none(app: Flask, keeper: Any, client: FlaskClient) -> None:
    batch = Making(app, keeper).batch(lines(("ZnO", 8.0)))
    assert "Recorded last" not in text_of(client, f"/thing/{batch}")
