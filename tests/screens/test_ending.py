"""What was lost of a thing, and how a thing ended; photos of a thing, kept without their place."""

import hashlib
import io
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from PIL import Image

from bench.workshop.things.batches import batch as batch_of
from bench.workshop.things.swatches import photos_of
from tests.journal.test_pictures import SECRET, speckled, taken
from tests.screens.making import Making
from tests.workshop.builder import lines

ID = "01K9V0000000000000000000R1"
WALNUT = lines(("ZnO", 8.0), ("Fe2O3", 16.0))


@pytest.fixture
def make(app: Flask, keeper: Any) -> Making:
    """Records that earlier steps would have left."""
    return Making(app, keeper)


def filled(make: Making) -> str:
    """A batch of 24 g, weighed."""
    batch = make.batch(WALNUT, name="Walnut")
    make.weigh(batch, 8.0, 16.0)
    return batch


def test_some_of_it_was_spilt(make: Making, client: FlaskClient, send: Any) -> None:
    """The grams are gone from what is left; the wiping up is said at the step."""
    batch = filled(make)
    assert "Wipe up wet" in client.get(f"/thing/{batch}/lost").text
    for _ in range(5):
        assert send(f"/thing/{batch}/lost", record_id=ID, how="spill", g="1,25").status_code == 303
    view = batch_of(make.state, batch)
    assert view is not None and view.lost_g == 1.25 and view.left_g == 22.75
    assert "1.25 g" in client.get(f"/thing/{batch}").text


def test_a_loss_of_unknown_mass_is_not_nothing(make: Making, send: Any) -> None:
    """Left open, never nought."""
    batch = filled(make)
    send(f"/thing/{batch}/lost", how="dust")
    [kept] = make.state.own(batch, "lost")
    assert kept.body.g is None and "g" not in kept.data


def test_bad_losses(make: Making, send: Any) -> None:
    """Refused beside the field."""
    batch = filled(make)
    for fields in (
        {},
        {"how": "magic"},
        {"how": "spill", "g": "0"},
        {"how": "spill", "g": "-2"},
        {"how": "spill", "g": "x"},
    ):
        assert send(f"/thing/{batch}/lost", fields).status_code == 422, fields
    assert not make.state.own(batch, "lost")


def test_what_loses_nothing(make: Making, client: FlaskClient, send: Any) -> None:
    """A furnace spills nothing; an unknown thing neither."""
    furnace = make.furnace()
    for thing in (furnace, "nothing", "01K9V0000000000000000000ZZ"):
        assert client.get(f"/thing/{thing}/lost").status_code == 404
        assert send(f"/thing/{thing}/lost", how="spill").status_code == 404
        assert thing == furnace or client.get(f"/thing/{thing}/close").status_code == 404


def test_each_thing_is_closed_in_its_own_way(make: Making, client: FlaskClient, send: Any) -> None:
    """Closed, it is no longer under way; a charge that is lost frees its crucible."""
    batch = filled(make)
    assert send(f"/thing/{batch}/close", outcome="failed", why="wrong jar").location == f"/batch/{batch}"
    view = batch_of(make.state, batch)
    assert view is not None and view.state == "failed"
    vessel = make.crucible()
    charge = make.charge({"batch": filled(make), "g": 5.0}, crucible=vessel)
    assert send(f"/thing/{charge}/close", outcome="lost").status_code == 303
    assert charge not in make.state.open_things("charge")
    jar = make.jar("ZnO", "zinc-oxide", net_g=5.0)
    send(f"/thing/{jar}/close", outcome="empty")
    assert "put away" in client.get("/shelf").text and "Put away" in client.get(f"/jar/{jar}").text
    furnace = make.furnace()
    send(f"/thing/{furnace}/close", outcome="gone")
    assert "Put away" in client.get(f"/furnace/{furnace}").text


def test_a_firing_is_closed_on_its_own_screen(make: Making, client: FlaskClient, send: Any) -> None:
    """It has questions of its own."""
    fire = make.firing()
    assert client.get(f"/thing/{fire}/close").location == f"/firing/{fire}/close"
    assert send(f"/thing/{fire}/close", outcome="put-away").location == f"/firing/{fire}/close"
    assert not make.state.own(fire, "closed")


def test_bad_ends(make: Making, client: FlaskClient, send: Any) -> None:
    """Refused beside the field, and what is still filled from it is shown."""
    batch = filled(make)
    make.charge({"batch": batch, "g": 5.0})
    assert "still holds some of it" in client.get(f"/thing/{batch}/close").text
    for fields in ({}, {"outcome": "vanished"}, {"outcome": "failed", "why": "x" * 9_000}, {"outcome": "lost"}):
        assert send(f"/thing/{batch}/close", fields).status_code == 422, fields
    assert not make.state.own(batch, "closed")


def test_a_photo_is_kept_without_its_place(make: Making, client: FlaskClient, send: Any) -> None:
    """Stored beside the data file, named by a record with its hash, shown as it was stored."""
    batch = filled(make)
    answer = send(f"/thing/{batch}/photo", photo=(io.BytesIO(taken("JPEG")), "IMG_1.jpg"))
    assert answer.status_code == 303 and answer.location == f"/thing/{batch}"
    [photo] = photos_of(make.state, batch)
    shown = client.get(f"/photo/{photo}")
    assert shown.status_code == 200 and shown.mimetype == "image/jpeg" and SECRET not in shown.data
    assert "immutable" in shown.headers["Cache-Control"] and shown.headers["X-Content-Type-Options"] == "nosniff"
    [record] = make.state.own(batch, "photo.kept")
    assert record.body.sha256 == hashlib.sha256(shown.data).hexdigest()
    assert Image.open(io.BytesIO(shown.data)).size == (61, 61)
    assert f'src="/photo/{photo}"' in client.get(f"/thing/{batch}").text


def test_a_photo_sent_again_is_one_and_another_never_writes_over_it(
    make: Making, client: FlaskClient, send: Any
) -> None:
    """The same submit is one photo; the same page with another picture is a conflict, and both pictures are kept."""
    batch = filled(make)
    for _ in range(3):
        sent = (io.BytesIO(taken("PNG")), "a.png")
        assert send(f"/thing/{batch}/photo", record_id=ID, photo=sent).status_code == 303
    other = taken("PNG", speckled(side=33))
    assert send(f"/thing/{batch}/photo", record_id=ID, photo=(io.BytesIO(other), "a.png")).status_code == 409
    folder = make.journal.photos
    assert len(list(folder.iterdir())) == 2 and len(photos_of(make.state, batch)) == 1


def test_what_is_no_photo(make: Making, send: Any) -> None:
    """A sentence beside the field; nothing is recorded and nothing lies about."""
    batch = filled(make)
    for sent in (b"", b"hello", b"<svg onload=alert(1)>", taken("JPEG")[:-9], b"\0\0\0\x18ftypheic" + b"\0" * 40):
        answer = send(f"/thing/{batch}/photo", photo=(io.BytesIO(sent), "x.jpg"))
        assert answer.status_code == 422 and 'class="complaint"' in answer.text
    assert not photos_of(make.state, batch) and not list(make.journal.photos.glob("*"))
    assert send("/thing/nothing/photo", photo=(io.BytesIO(taken("PNG")), "x.png")).status_code == 404


def test_photos_that_are_not_there(client: FlaskClient, make: Making) -> None:
    """Nothing outside the folder, whatever is asked for."""
    (make.journal.photos / "01K9V0000000000000000000P9.txt").write_text("no picture")
    for name in (ID, "..", "..%2fsaggar.json", "%2e%2e/saggar.json", "*", "01K9V0000000000000000000P9", "%00"):
        assert client.get(f"/photo/{name}").status_code in (404, 308), name
