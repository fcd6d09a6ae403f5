"""Pictures that a form brings: real ones are taken, others get a sentence."""

import io

import pytest
from flask import Flask
from PIL import Image

from bench.web.forms import Form
from bench.web.uploads import read_photo


def picture(kind: str) -> bytes:
    """A small real picture, written by an independent library."""
    file = io.BytesIO()
    Image.new("RGB", (8, 8), "#26649f").save(file, kind)
    return file.getvalue()


@pytest.mark.parametrize(("kind", "ending"), [("JPEG", "jpg"), ("PNG", "png"), ("WEBP", "webp")])
def test_real_pictures(app: Flask, kind: str, ending: str) -> None:
    """What a camera or a browser writes is known by its signature and taken."""
    data = picture(kind)
    with app.test_request_context("/", method="POST", data={"photo": (io.BytesIO(data), "x.bin")}):
        form = Form({})
        found = read_photo(form)
        assert found is not None and found.ending == ending and (found.width, found.height) == (8, 8) and form.ok


@pytest.mark.parametrize("data", [b"<svg xmlns='x'/>", b"GIF89a", b"RIFF0000WAVE", b"\xff\xd8"])
def test_no_picture(app: Flask, data: bytes) -> None:
    """Anything else is a sentence beside the field, whatever it calls itself."""
    with app.test_request_context("/", method="POST", data={"photo": (io.BytesIO(data), "x.jpg", "image/jpeg")}):
        form = Form({})
        assert read_photo(form) is None and "cannot keep this picture" in form.errors["photo"]


def test_none_at_all(app: Flask) -> None:
    """No picture is fine, unless it was asked for."""
    with app.test_request_context("/", method="POST", data={}):
        form = Form({})
        assert read_photo(form) is None and form.ok
        assert read_photo(form, required=True) is None and not form.ok
