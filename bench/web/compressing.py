"""Pages and files go over the workshop's Wi-Fi packed, which makes them a third of their size and less.

By brotli (RFC 7932) where the browser takes it, which it does over TLS alone: a seventh smaller than gzip (RFC 1952).

A packed answer that holds a secret beside what was typed can give the secret away by its length. The one secret in a
page is its token, and that is written differently in each answer.
"""

import gzip
from functools import lru_cache
from pathlib import Path

from flask import Flask, Response, current_app, request

from bench.web.channel import door

try:
    import brotli
except ImportError:  # the same library under the name that it has for another Python than CPython
    import brotlicffi as brotli

FILES = frozenset({".js", ".css", ".svg", ".wasm", ".json", ".txt"})
PAGES = frozenset({"text/html", "application/json"})
LEAST = 400
PAGE, FILE, LARGE = {"br": 5, "gzip": 6}, {"br": 11, "gzip": 9}, {"br": 9, "gzip": 9}
"""How hard each tries: a page is packed each time it is asked for, a file once; the last steps take a large file
seconds."""
LARGE_BYTES = 200_000


def pack(app: Flask) -> None:
    """Pack what is text for every browser that says it can unpack it; pages only where they go over the air."""
    app.after_request(_packed)


def _packed(response: Response) -> Response:
    found = request.endpoint == "static" and response.status_code in (200, 304)
    name = (request.view_args or {}).get("filename", "") if found else ""
    if Path(name).suffix not in FILES and (door() == "local" or response.mimetype not in PAGES):
        return response
    response.vary.add("Accept-Encoding")
    way = next((one for one in PAGE if request.accept_encodings[one]), None)
    if response.status_code == 304 or way is None or "Range" in request.headers:
        return response
    data = _file(name, response, way) if name else _page(response, way)
    if data is None:
        return response
    if response.direct_passthrough:
        response.response.close()  # type: ignore[union-attr]  # the open file that was to be sent
        response.direct_passthrough = False
    response.set_data(data)
    response.content_encoding = way
    etag, _weak = response.get_etag()
    if etag is not None:
        response.set_etag(etag, weak=True)
    return response


def _smaller(plain: bytes, way: str, hard: dict[str, int]) -> bytes | None:
    """The bytes packed in one of the ways of `PAGE`; None where they are too few to gain by it."""
    if len(plain) < LEAST:
        return None
    if way == "br":
        packed: bytes = brotli.compress(plain, quality=hard[way])
        return packed
    return gzip.compress(plain, hard[way], mtime=0)


def _page(response: Response, way: str) -> bytes | None:
    if response.is_streamed or response.direct_passthrough:
        return None
    return _smaller(response.get_data(), way, PAGE)


def _file(name: str, response: Response, way: str) -> bytes | None:
    path = Path(str(current_app.static_folder)) / name
    # What was put together here is asked for with every page of a new phone: packed once, not each time.
    if response.direct_passthrough:
        return _of(path, path.stat().st_mtime_ns, way)
    return _text(response.get_data(), way)


@lru_cache(maxsize=256)
def _text(plain: bytes, way: str) -> bytes | None:
    return _smaller(plain, way, FILE)


@lru_cache(maxsize=512)
def _of(path: Path, changed: int, way: str) -> bytes | None:
    plain = path.read_bytes()
    return _smaller(plain, way, LARGE if len(plain) > LARGE_BYTES else FILE)
