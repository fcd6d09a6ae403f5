"""How much may be sent at once, and as what: every form says so in a plain sentence, and keeps nothing of it."""

import io
import struct
import zlib

import pytest
from PIL import Image
from werkzeug.datastructures import FileStorage

from bench.journal.pictures import MOST_MB
from bench.web.guard import FORM_MAX, PHOTO_MAX
from tests.acceptance.desk import Desk, Sent, all_forms
from tests.acceptance.forms_of import PostForm
from tests.acceptance.tries import silent

Forms = dict[str, list[PostForm]]
TOO_LARGE = "This is too large"
MANY_PARTS = 1_500
NOT_OURS = {
    "application/json": "{}",
    "text/plain": "a=b",
    "application/xml": "<a/>",
    "": "a",
    "multipart/form-data": "x",
}


@pytest.fixture(scope="module")
def forms(here: Desk) -> Forms:
    return all_forms(here)


def with_files(forms: Forms) -> list[tuple[PostForm, str]]:
    """Every form that takes a file, with the name of that field."""
    every = [form for of_view in forms.values() for form in of_view]
    return [(form, one.name) for form in every for one in form.fields.values() if one.sort == "file"]


def file(data: bytes, name: str = "photo.jpg") -> FileStorage:
    return FileStorage(io.BytesIO(data), name)


def png_of(width: int, height: int) -> bytes:
    """A true PNG as far as its checksums go, whose head claims these sides. Chunks: the PNG specification (W3C)."""

    def chunk(name: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))

    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + chunk(b"IDAT", zlib.compress(b"\0" * 64)) + chunk(b"IEND", b"")


def test_a_form_beyond_its_size_is_refused_in_words_and_leaves_nothing(here: Desk, forms: Forms) -> None:
    for view, of_view in forms.items():
        before = here.traces
        answer = here.post(of_view[0].action, {"words": "n" * (FORM_MAX + 1)})
        assert answer.status_code == 413, view
        assert TOO_LARGE in answer.get_data(as_text=True) and here.traces == before, view


def test_a_form_of_too_many_parts_or_of_another_make_is_refused(here: Desk) -> None:
    before = here.traces
    for path in ("/settings", "/shelf/new", "/plan/grams", "/find", "/records"):
        parts: Sent = {f"part.{n}": "1" for n in range(MANY_PARTS)} | {"photo": file(b"x")}
        answer = here.post(path, parts)
        assert answer.status_code in (413, 403) and "still there" in answer.get_data(as_text=True), path
        for kind, body in NOT_OURS.items():
            said = here.client.post(path, data=body, content_type=kind)
            assert said.status_code in (400, 403, 415) and "<h1" in said.get_data(as_text=True), (path, kind)
        raw = f"token={here.token}&room_m3=%ED%A0%80&name=%FF%FE&emergency_number=%C3%28&%00=%00".encode()
        mangled = here.client.post(path, data=raw, content_type="application/x-www-form-urlencoded")
        assert mangled.status_code in (403, 422), path
    assert here.traces == before


WRONG_FILES = {
    "a moving picture": b"GIF89a" + b"\0" * 64,
    "a page": b"%PDF-1.7\n" + b"\0" * 64,
    "a script": b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>",
    "a torn picture": b"\xff\xd8\xff\xe0" + b"\0" * 64,
    "more pixels than any camera has": png_of(20_000, 20_000),
    "no height at all": png_of(10, 0),
    "more bytes than are taken": b"\xff\xd8\xff" + b"\0" * (MOST_MB * 1024**2),
}


def test_what_is_no_picture_or_too_large_a_one_is_refused_beside_its_field(here: Desk, forms: Forms) -> None:
    found = with_files(forms)
    assert len(found) >= 5
    for what, data in WRONG_FILES.items():
        beside = 0
        for form, name in found:
            before = here.traces
            answer = here.post(form.action, form.usual() | {name: file(data)})
            assert answer.status_code == 422 and here.refused, (form.action, what)
            assert not silent(here, answer.get_data(as_text=True)), (form.action, what)
            assert here.traces == before, (form.action, what)
            beside += name in here.refused
        assert beside >= 3, what  # the other forms lack more than a picture, and say that first


def test_a_file_beyond_every_size_is_refused_before_it_is_read(here: Desk, forms: Forms) -> None:
    found = with_files(forms)
    for form, name in (found[0], found[-1]):
        before = here.traces
        answer = here.post(form.action, {name: file(b"\xff\xd8\xff" + b"\0" * PHOTO_MAX)})
        assert answer.status_code == 413 and TOO_LARGE in answer.get_data(as_text=True), form.action
        assert here.traces == before


def test_a_true_picture_is_taken_by_the_same_forms(here: Desk, forms: Forms) -> None:
    """The bounds refuse what they should, and nothing else."""
    shot = io.BytesIO()
    Image.new("RGB", (64, 48), "#26649f").save(shot, "JPEG")
    photos = [(form, name) for form, name in with_files(forms) if name == "photo" and form.action.startswith("/thing/")]
    assert photos
    for form, name in photos:
        assert here.post(form.action, form.usual() | {name: file(shot.getvalue())}).status_code == 303, form.action
