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


def test_a_plan_is_said_in_words(app: Flask, keeper: Any, client: FlaskClient) -> None:
    make = Making(app, keeper)
    line = {"line": 1, "formula": "Fe2O3", "name": "iron-iii-oxide", "target_g": 6.624, "assay_pct": 96.0}
    more = {"target_formula": "ZnFe2O4", "cooling_mode": "in-furnace", "cooling_basis": "read"}
    batch = make.batch([line], library_rev="25756a888fcd", **more)
    said = lately(client, batch)
    assert "Planned by grams" in said and "iron(III) oxide 6.62 g reacts 96 %" in said
    assert "Target formula ZnFe₂O₄" in said and "Cooling known from published sources" in said
    assert not any(word in said for word in ("iron-iii", "Library", "25756a", "Ground of"))


def test_an_electric_furnace_is_switched_on(app: Flask, keeper: Any, client: FlaskClient) -> None:
    make = Making(app, keeper)
    for fuel, word, not_word in (("electric", "Switched on", "Lit"), ("gas", "Lit", "Switched on")):
        fire = make.firing(make.furnace(fuel), 900.0)
        make.lit(fire)
        said = lately(client, fire)
        assert word in said and not_word not in said
