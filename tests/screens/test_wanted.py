"""A wanted colour from a photo: held while it is marked, worked out by the card, and nothing of it recorded."""

import io
import re

import numpy as np
from flask import Flask
from flask.testing import FlaskClient

from bench.science.colour import de00
from tests.conftest import Send
from tests.science import simulated_camera as camera
from tests.screens.making import errors
from tests.screens.test_colour_photo import CARD_TEXT, thousandths

WHERE = "/swatches/towards/photo"


def test_a_photo_leads_to_what_is_near_its_colour(app: Flask, client: FlaskClient, send: Send) -> None:
    assert WHERE in client.get("/swatches/towards").get_data(as_text=True)
    assert "Type the values of your card" in client.get(WHERE).get_data(as_text=True)
    assert send("/cards/new", name="own card", patches=CARD_TEXT, columns="4", white="D65").status_code == 303
    state = app.extensions["bench"].state
    [card], before = state.things("colour-card"), len(state.records)
    assert "data-snap" in client.get(WHERE).get_data(as_text=True)
    shot = camera.shot(np.random.default_rng(9), camera.CARD, 4)
    text = send(WHERE, photo=(io.BytesIO(shot.data), "x.jpg")).get_data(as_text=True)
    [mark] = re.findall(r'name="photo_held" value="([^"]+)"', text)
    assert "data-marking" in text and client.get(f"{WHERE}/{mark}").mimetype == "image/jpeg"
    fields = {"photo_held": mark, "card_id": card, "card": thousandths(camera.CARD_BOX)}
    fields |= {"swatch": thousandths(camera.SWATCH_BOX)}
    assert "Find near ones" in send(WHERE, fields).get_data(as_text=True)
    on = send(WHERE, fields, go="1")
    assert on.status_code == 303
    told = {name: float(value) for name, value in re.findall(r"(\w+)=(-?[\d.]+)", on.location)}
    lab = (told["l"], told["a"], told["b"])
    assert de00(lab, shot.lab) < 2 and "wanted" in client.get(on.location).get_data(as_text=True)
    assert all(told[f"se_{axis}"] > 0 for axis in "lab")
    assert len(app.extensions["bench"].state.records) == before


def test_slips_stand_beside_their_field(client: FlaskClient, send: Send) -> None:
    assert send("/cards/new", name="own card", patches=CARD_TEXT, columns="4", white="D65").status_code == 303
    assert any("Take a photo" in one for one in errors(send(WHERE).get_data(as_text=True)))
    assert send(WHERE, photo=(io.BytesIO(b"no picture"), "x.jpg")).status_code == 422
    assert client.get(f"{WHERE}/unheard-of").status_code == 404
