"""From a code to its thing: typed in any writing, with every slip found, on two things, or read off a photo."""

import io
import struct
import threading
import zlib
from collections.abc import Callable
from typing import Any

import pytest
import qrcode
from flask import Flask
from flask.testing import FlaskClient
from PIL import Image

from bench.screens.phone import tag_photo
from tests.screens.test_crucibles import CHARGE, ID, add, fill

SPARE = "7K3MQX"


def code_of(app: Flask, thing: str = ID) -> str:
    """The code that a thing bears."""
    code = app.extensions["bench"].state.code_of(thing)
    assert code is not None
    return str(code)


def photo(*texts: str, kind: str = "PNG") -> io.BytesIO:
    """A picture with symbols on it, as a camera might send it."""
    symbols = [qrcode.make(text, error_correction=qrcode.constants.ERROR_CORRECT_H).get_image() for text in texts]
    picture = Image.new("L", (sum(s.width for s in symbols) + 40, 500), 255)
    at = 20
    for symbol in symbols:
        picture.paste(symbol, (at, 20))
        at += symbol.width
    out = io.BytesIO()
    picture.convert("RGB").save(out, kind)
    out.seek(0)
    return out


def test_it_asks_for_a_code(client: FlaskClient) -> None:
    """With keys for those characters alone that a code can hold."""
    page = client.get("/find").text
    assert page.count('data-key="') == 32 + 1
    assert not any(f'data-key="{letter}"' in page for letter in "ILOU")


def test_a_typed_code_leads_to_its_thing(app: Flask, client: FlaskClient, send: Any) -> None:
    """In any writing."""
    add(send)
    code = code_of(app)
    for typed in (code, code.lower(), f"{code[:5]}-{code[5]}", f" {code[:3]} {code[3:]} "):
        answer = client.get("/find", query_string={"code": typed})
        assert answer.status_code == 303 and answer.location == f"/crucible/{ID}"


def test_a_crucible_opens_its_open_charge(app: Flask, client: FlaskClient, send: Any) -> None:
    """While something is in it; after that its own page again."""
    add(send)
    fill(app)
    code = code_of(app)
    assert client.get("/find", query_string={"code": code}).location == f"/charge/{CHARGE}"
    app.extensions["bench"].journal.write("opened", CHARGE, {})
    assert client.get("/find", query_string={"code": code}).location == f"/crucible/{ID}"


def test_every_slip_is_found(app: Flask, client: FlaskClient, send: Any) -> None:
    """One wrong character at any place, or two neighbours swapped, is never another thing."""
    add(send)
    code = code_of(app)
    wrong = [code[:n] + ("7" if code[n] != "7" else "8") + code[n + 1 :] for n in range(6)]
    wrong += [code[:n] + code[n + 1] + code[n] + code[n + 2 :] for n in range(5) if code[n] != code[n + 1]]
    for typed in wrong:
        answer = client.get("/find", query_string={"code": typed})
        assert answer.status_code == 422 and typed in answer.text, typed


def test_what_is_no_code(client: FlaskClient) -> None:
    """A sentence and what was typed; an unknown code too."""
    for typed in ("T5C7H", "T5C7HO", "<b>x</b>", "\x00", "ü" * 500, "T5C7HJ", "../../etc"):
        answer = client.get("/find", query_string={"code": typed})
        assert answer.status_code == 422 and "<b>x" not in answer.text, typed


def test_a_spare_tag_can_be_bound(app: Flask, client: FlaskClient) -> None:
    """A code that was issued and is on nothing leads to what it may be bound to."""
    app.extensions["bench"].journal.write("code.issued", "0" * 26, {"codes": [SPARE]})
    page = client.get("/find", query_string={"code": SPARE}).text
    assert f"/crucibles/new?code={SPARE}" in page and f"/shelf/new?code={SPARE}" in page
    assert f'value="{SPARE}"' in client.get(f"/crucibles/new?code={SPARE}").text


def test_one_code_on_two_things_is_a_disagreement(app: Flask, client: FlaskClient, send: Any) -> None:
    """Both are shown, with who gave it when, and a way to settle it."""
    other = "01K9V0000000000000000000D2"
    add(send)
    add(send, record_id=other, ware="mullite")
    journal = app.extensions["bench"].journal
    [first] = [r for r in journal.by("kind", "code.assigned") if r.subject == other]
    journal.write("code.assigned", other, {"code": code_of(app), "thing": other}, corrects=[first.id])
    answer = client.get("/find", query_string={"code": code_of(app)})
    assert answer.status_code == 200 and "Alumina 99" in answer.text and "Mullite" in answer.text
    assert answer.text.count("/correct/") == 2


def test_a_photo_of_a_tag(app: Flask, client: FlaskClient, send: Any) -> None:
    """Read on the laptop by an independent decoder; several tags on it are asked about; nothing is recorded."""
    add(send)
    code = code_of(app)
    before = len(app.extensions["bench"].state.records)
    for kind in ("PNG", "JPEG"):
        answer = send("/find", photo=(photo(code, kind=kind), "tag.jpg"))
        assert answer.status_code == 303 and answer.location == f"/find?code={code}"
    both = send("/find", photo=(photo(code, SPARE), "tag.png")).text
    assert "Alumina 99" in both and "not in use yet" in both
    assert len(app.extensions["bench"].state.records) == before


def unpackable() -> bytes:
    """A PNG whole by its sums, whose pixels are none."""
    head = struct.pack(">IIBBBBB", 40, 40, 8, 2, 0, 0, 0)
    parts = ((b"IHDR", head), (b"IDAT", b"no pixels"), (b"IEND", b""))
    packed = (struct.pack(">I", len(b)) + n + b + struct.pack(">I", zlib.crc32(n + b)) for n, b in parts)
    return b"\x89PNG\r\n\x1a\n" + b"".join(packed)


def large() -> io.BytesIO:
    """A photo of a tag with more pixels than are unpacked in the bench's own process."""
    whole, out = Image.new("L", (tag_photo.SMALL // 1000, 1200), 255), io.BytesIO()
    whole.paste(Image.open(photo(SPARE)), (300, 300))
    whole.save(out, "PNG")
    return io.BytesIO(out.getvalue())


def test_a_large_photo_of_a_tag_is_read_in_a_process_of_its_own(send: Any) -> None:
    """The code is found in it all the same."""
    answer = send("/find", photo=(large(), "tag.png"))
    assert answer.status_code == 303 and answer.location == f"/find?code={SPARE}"
    assert tag_photo.READER.started


def test_while_a_large_photo_is_read_other_pages_are_answered(
    app: Flask, send: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another request is answered from beginning to end before the photo is read."""
    answered = []

    class Reader:
        """Reads the photo once another page has been answered."""

        def call(self, function: Callable[[bytes], list[str]], picture: bytes) -> list[str]:
            """Ask for the other page, and wait for it."""
            other = threading.Thread(target=lambda: answered.append(app.test_client().get("/find").status_code))
            other.start()
            other.join(60)
            return function(picture)

    monkeypatch.setattr(tag_photo, "READER", Reader())
    assert send("/find", photo=(large(), "tag.png")).status_code == 303
    assert answered == [200]


def test_photos_that_help_nothing(send: Any) -> None:
    """A plain sentence each time."""
    empty = io.BytesIO()
    Image.new("RGB", (40, 40), "white").save(empty, "PNG")
    for sent, words in (
        (empty.getvalue(), "No tag could be read"),
        (photo("https://example.org/").getvalue(), "not a tag of this bench"),
        (b"\x89PNG\r\n\x1a\n" + b"\0" * 60, "damaged or cut off"),
        (unpackable(), "cannot be read as a photo"),
        (b"hello", "cannot keep this picture"),
        (b"", "Take a photo"),
    ):
        answer = send("/find", photo=(io.BytesIO(sent), "x.png"))
        assert answer.status_code == 422 and words in answer.text, words


def test_without_a_decoder_the_code_is_typed(client: FlaskClient, send: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """The page says so, and so does a photo that is sent anyway."""
    monkeypatch.setattr(tag_photo, "DECODER", "no_such_decoder")
    assert "No reader for photos is installed" in client.get("/find").text
    answer = send("/find", photo=(photo(SPARE), "x.png"))
    assert answer.status_code == 422 and "Type the six characters" in answer.text
