"""The wall of swatches: by hue, value, date and element; a photo where nothing was measured, never a grey slab."""

import io

import pytest
from flask import Flask
from flask.testing import FlaskClient
from PIL import Image

from bench.journal.photos import keep_photo
from bench.journal.pictures import without_place
from bench.workshop.wall import ordered, spots
from tests.conftest import Keeper
from tests.screens.making import Making
from tests.screens.powders import a_photo, powder

LABS = {"yellow": (80.0, 5.0, 60.0), "red": (40.0, 50.0, 20.0), "blue": (35.0, 10.0, -45.0), "grey": (60.0, 1.0, 1.0)}


@pytest.fixture
def make(app: Flask, keeper: Keeper) -> Making:
    return Making(app, keeper)


def test_the_orders(make: Making) -> None:
    made: dict[str, str] = {}
    pigment = powder(make)
    for name, lab in LABS.items():
        made[name] = make.swatch(pigment)
        make.add("swatch.measured", {"lab": list(lab)}, made[name])
    made["new"] = make.swatch(pigment)
    names = {thing: name for name, thing in made.items()}
    order = {by: [names[one.id] for one in ordered(spots(make.state), by)] for by in ("hue", "value", "date")}
    assert order["hue"] == ["red", "yellow", "blue", "grey", "new"]
    assert order["value"] == ["blue", "red", "grey", "yellow", "new"]
    assert order["date"] == ["new", "grey", "blue", "red", "yellow"]


def test_an_element_alone_and_photos_without_a_measurement(app: Flask, client: FlaskClient, make: Making) -> None:
    iron, copper = make.swatch(powder(make)), make.swatch(powder(make, ("CuO", 5.0), ("SiO2", 9.0)))
    photo = make.new_id()
    digest = keep_photo(app.extensions["bench"].settings.photos, photo, without_place(a_photo()[0].getvalue()))
    make.add("photo.kept", {"of": copper, "photo": photo, "sha256": digest}, copper)
    text = client.get("/swatches/wall?element=Cu&by=hue").get_data(as_text=True)
    assert f"/swatch/{copper}" in text and f"/swatch/{iron}" not in text
    assert f"/photo/{photo}/small" in text and "#aeaeae" not in text
    small = Image.open(io.BytesIO(client.get(f"/photo/{photo}/small").data))
    assert small.size == (240, 240) and client.get("/photo/x/small").status_code == 404
    mat = client.get("/swatches").get_data(as_text=True)
    assert f"/photo/{photo}/small" in mat and "/swatches/wall" in mat


def test_it_goes_on_by_pages(client: FlaskClient, make: Making) -> None:
    pigment = powder(make)
    made = [make.swatch(pigment) for _n in range(61)]
    text = client.get("/swatches/wall?by=date").get_data(as_text=True)
    assert made[-1] in text and f"/swatch/{made[0]}" not in text and "from=48" in text
    assert f"/swatch/{made[0]}" in client.get("/swatches/wall?by=date&from=48").get_data(as_text=True)


def test_it_is_searched_by_words_that_are_forgiven_a_slip(client: FlaskClient, make: Making) -> None:
    one, two = powder(make, name="Autumn tan"), powder(make, ("CuO", 5.0), ("SiO2", 9.0))
    make.add("judged", {"verdict": "keep", "words": "slightly gritty, gray"}, two)
    tan, blue = make.swatch(one), make.swatch(two, binder="walnut oil")

    def found(words: str) -> list[bool]:
        text = client.get("/swatches/wall", query_string={"q": words}).get_data(as_text=True)
        return [f"/swatch/{thing}" in text for thing in (tan, blue)]

    assert found("autumn") == [True, False] and found("Autumm") == [True, False]
    assert found("grey gritty") == [False, True] and found("walnut") == [False, True]
    assert found("autumn walnut") == [False, False] and found("") == [True, True]
    make.add("judged", {"verdict": "keep", "words": "walnut brown"}, one)
    assert found("walnut") == [True, True]


def test_what_was_read_is_read_again_only_after_a_change(make: Making) -> None:
    pigment = powder(make)
    for _n in range(3):
        make.swatch(pigment)
    state = make.state
    first = spots(state)
    assert spots(state) is first and spots(state, "Zn") is not first
    make.swatch(pigment)
    assert len(spots(make.state)) == 4
