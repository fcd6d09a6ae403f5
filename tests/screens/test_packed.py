"""Files are packed for browsers that can unpack them; pages, which hold a token, never are."""

import gzip
from typing import Any

import pytest

from bench.settings import asset_folder


@pytest.mark.parametrize("name", ["outbox.js", "css/tokens.css", "icons/sprite.svg", "vendor/zxing_reader.wasm"])
def test_a_file_packed_is_the_file(client: Any, name: str) -> None:
    plain = (asset_folder("static") / name).read_bytes()
    with client.get(f"/static/{name}", headers={"Accept-Encoding": "br, gzip"}) as answer:
        assert answer.headers["Content-Encoding"] == "gzip" and "Accept-Encoding" in answer.headers["Vary"]
        assert gzip.decompress(answer.data) == plain and len(answer.data) < len(plain)
        assert int(answer.headers["Content-Length"]) == len(answer.data)
        mark = answer.headers["ETag"]
    with client.get(f"/static/{name}", headers={"Accept-Encoding": "gzip", "If-None-Match": mark}) as again:
        assert again.status_code == 304 and not again.data
    with client.get(f"/static/{name}") as answer:
        assert "Content-Encoding" not in answer.headers and answer.data == plain


def test_what_must_not_be_packed(client: Any) -> None:
    packs = {"Accept-Encoding": "gzip"}
    assert "Content-Encoding" not in client.get("/", headers=packs).headers
    assert "Content-Encoding" not in client.get("/static/none.js", headers=packs).headers
    with client.get("/static/icons/app-192.png", headers=packs) as picture:
        assert "Content-Encoding" not in picture.headers
    with client.get("/static/outbox.js", headers=packs | {"Range": "bytes=0-9"}) as part:
        assert "Content-Encoding" not in part.headers
