"""A swatch's colour from a photo through its screen: marked, looked at, kept; turned pictures, Display-P3, refusals."""

import io
from collections.abc import Callable

import numpy as np
import pytest
from flask import Flask
from flask.testing import FlaskClient
from PIL import Image

from bench.journal.photos import keep_photo
from bench.journal.pictures import without_place
from bench.science.colour import de00
from bench.science.photo_samples import _p3_to_srgb, linear_light
from bench.screens.powders.light import pixels_of
from tests.conftest import Keeper, Send
from tests.science import simulated_camera as camera
from tests.screens.making import Making
from tests.screens.powders import powder

CARD_TEXT = "\n".join(f"patch {n} {l_} {a} {b}" for n, (l_, a, b) in enumerate(camera.CARD, 1))
Ready = Callable[[bytes], tuple[str, dict[str, str]]]


def thousandths(box: tuple[float, float, float, float]) -> str:
    return " ".join(f"{1000 * x / camera.WIDE:.1f},{1000 * y / camera.WIDE:.1f}" for x, y in camera.corners(box))


@pytest.fixture
def make(app: Flask, keeper: Keeper) -> Making:
    return Making(app, keeper)


@pytest.fixture
def ready(app: Flask, make: Making, send: Send) -> Ready:
    """A swatch with a photo, and the fields by which it is marked."""

    def with_photo(data: bytes) -> tuple[str, dict[str, str]]:
        assert send("/cards/new", name="own card", patches=CARD_TEXT, columns="4", white="D65").status_code == 303
        thing = make.swatch(powder(make))
        photo = make.new_id()
        digest = keep_photo(app.extensions["bench"].settings.photos, photo, without_place(data))
        make.add("photo.kept", {"of": thing, "photo": photo, "sha256": digest}, thing)
        [card] = make.state.things("colour-card")
        marks = {"card": thousandths(camera.CARD_BOX), "swatch": thousandths(camera.SWATCH_BOX)}
        return thing, {"photo": photo, "card_id": card, **marks}

    return with_photo


def test_a_colour_is_looked_at_and_kept(client: FlaskClient, send: Send, make: Making, ready: Ready) -> None:
    shot = camera.shot(np.random.default_rng(3), camera.CARD, 4)
    thing, fields = ready(shot.data)
    askew = fields | {"card": thousandths((10.0, 10.0, 100.0, 90.0))}
    assert "The card does not match" in send(f"/swatch/{thing}/colour", askew).get_data(as_text=True)
    assert f"/swatch/{thing}/colour" in client.get(f"/swatch/{thing}").get_data(as_text=True)
    assert "data-marking" in client.get(f"/swatch/{thing}/colour").get_data(as_text=True)
    text = send(f"/swatch/{thing}/colour", fields).get_data(as_text=True)
    assert "Save the colour" in text and "For D50" in text and "does not fit" not in text
    assert not make.state.own(thing, "swatch.measured")
    assert send(f"/swatch/{thing}/colour", fields, keep="1").status_code == 303
    [record] = make.state.own(thing, "swatch.measured")
    assert de00(record.body.lab, shot.lab) < 2 and record.body.card == fields["card_id"]
    assert record.body.method == "by camera, with 12 patches" and record.body.photo == fields["photo"]
    assert len(record.body.areas) == 2 and record.body.residual < 2


def test_several_swatches_on_one_photo_each_get_their_colour(
    client: FlaskClient, send: Send, make: Making, ready: Ready
) -> None:
    shot = camera.shot(np.random.default_rng(6), camera.CARD, 4)
    thing, fields = ready(shot.data)
    other = make.swatch(powder(make))
    assert f"also={other}" in client.get(f"/swatch/{thing}/colour").get_data(as_text=True)
    marked = client.get(f"/swatch/{thing}/colour?also={other}").get_data(as_text=True)
    assert f'data-mark="also.{other}"' in marked and f'name="also.{other}"' in marked
    # The other one is laid on the board beside the card, a grey of L* 60.
    board = thousandths((150.0, 115.0, 210.0, 165.0))
    assert send(f"/swatch/{thing}/colour", fields | {f"also.{other}": board}, keep="1").status_code == 303
    [first], [second] = make.state.own(thing, "swatch.measured"), make.state.own(other, "swatch.measured")
    assert de00(first.body.lab, shot.lab) < 2 and de00(second.body.lab, (60.0, 0.0, 0.0)) < 2
    assert second.body.photo == fields["photo"] and len(second.body.areas) == 2


def test_slips_stand_beside_their_field(send: Send, client: FlaskClient, ready: Ready) -> None:
    thing, fields = ready(camera.shot(np.random.default_rng(4), camera.CARD, 4).data)
    bad = send(f"/swatch/{thing}/colour", fields | {"card": "1,2 3"})
    assert bad.status_code == 422 and "Mark it again" in bad.get_data(as_text=True)
    small = send(f"/swatch/{thing}/colour", fields | {"swatch": "1,1 2,1 2,2 1,2"})
    assert small.status_code == 422 and "too small" in small.get_data(as_text=True)
    short = send("/cards/new", name="x", patches="a 1 2 3\nb 4 5 6", columns="1", white="D50")
    assert "one grey patch, or at least 6" in short.get_data(as_text=True)
    odd = send("/cards/new", name="x", patches="red 40 sixty 2", columns="1", white="D50")
    assert "Line 1" in odd.get_data(as_text=True)
    assert "own card" in client.get("/cards").get_data(as_text=True)


def test_a_turned_picture_is_set_upright_and_made_smaller() -> None:
    picture = np.zeros((40, 60, 3), np.uint8)
    picture[:, :30] = (200, 40, 40)
    turned = Image.fromarray(np.rot90(picture))
    exif = Image.Exif()
    exif[0x0112] = 6  # it is to be turned a quarter to the right
    kept = io.BytesIO()
    turned.save(kept, "PNG", exif=exif)
    found, display_p3 = pixels_of(kept.getvalue())
    assert found.shape == (40, 60, 3) and tuple(found[20, 10]) == (200, 40, 40) and not display_p3
    large = io.BytesIO()
    Image.new("RGB", (5000, 4000), "#808080").save(large, "JPEG")
    assert pixels_of(large.getvalue())[0].size <= 3 * 12_000_000


def test_display_p3_is_told_by_its_profile_and_comes_to_the_same() -> None:
    shot = camera.shot(np.random.default_rng(5), camera.CARD, 4)
    light = linear_light(shot.pixels) @ np.linalg.inv(np.array(_p3_to_srgb())).T
    encoded = np.where(light <= 0.0031308, 12.92 * light, 1.055 * np.maximum(light, 1e-9) ** (1 / 2.4) - 0.055)
    kept = io.BytesIO()
    wide = Image.fromarray(np.clip(np.round(255 * encoded), 0, 255).astype(np.uint8))
    wide.save(kept, "PNG", icc_profile=b"\0" * 128 + "Display P3".encode("utf-16-be"))
    found, display_p3 = pixels_of(kept.getvalue())
    assert display_p3
    same = linear_light(found, display_p3=True) - linear_light(shot.pixels)
    assert float(np.abs(same).mean()) < 0.002


def test_a_photo_that_is_taken_on_the_swatchs_page_goes_on_to_its_colour(
    client: FlaskClient, send: Send, make: Making
) -> None:
    thing = make.swatch(powder(make))
    assert "data-snap" not in client.get(f"/swatch/{thing}").get_data(as_text=True)  # there is no card yet
    assert send("/cards/new", name="own card", patches=CARD_TEXT, columns="4", white="D65").status_code == 303
    text = client.get(f"/swatch/{thing}").get_data(as_text=True)
    assert "data-snap" in text and '<label class="plate" for="photo">' in text
    data = io.BytesIO(camera.shot(np.random.default_rng(3), camera.CARD, 4).data)
    sent = send(f"/thing/{thing}/photo", back=f"/swatch/{thing}/colour", photo=(data, "x.jpg"))
    assert sent.location == f"/swatch/{thing}/colour"
    assert "data-marking" in client.get(sent.location).get_data(as_text=True)
    assert "data-snap" not in client.get(f"/swatch/{thing}").get_data(as_text=True)
