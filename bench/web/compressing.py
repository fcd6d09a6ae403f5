"""Pages and files go over the workshop's Wi-Fi packed (gzip, RFC 1952), which makes them a third of their size.

A packed answer that holds a secret beside what was typed can give the secret away by its length. The one secret in a
page is its token, and that is written differently in each answer.
"""

import gzip
from functools import lru_cache
from pathlib import Path

from flask import Flask, Response, current_app, request

from bench.web.channel import door

FILES = frozenset({".js", ".css", ".svg", ".wasm", ".json", ".txt"})
PAGES = frozenset({"text/html", "application/json"})
LEAST = 400
QUICK, SMALL = 6, 9


def pack(app: Flask) -> None:
    """Pack what is text for every browser that says it can unpack it; pages only where they go over the air."""
    app.after_request(_packed)


def _packed(response: Response) -> Response:
    found = request.endpoint == "static" and response.status_code in (200, 304)
    name = (request.view_args or {}).get("filename", "") if found else ""
    if Path(name).suffix not in FILES and (door() == "local" or response.mimetype not in PAGES):
        return response
    response.vary.add("Accept-Encoding")
    if response.status_code == 304 or not request.accept_encodings["gzip"] or "Range" in request.headers:
        return response
    data = _file(name, response) if name else _page(response)
    if data is None:
        return response
    if response.direct_passthrough:
        response.response.close()  # type: ignore[union-attr]  # the open file that was to be sent
        response.direct_passthrough = False
    response.set_data(data)
    response.content_encoding = "gzip"
    etag, _weak = response.get_etag()
    if etag is not None:
        response.set_etag(etag, weak=True)
    return response


def _page(response: Response) -> bytes | None:
    if response.is_streamed or response.direct_passthrough or len(response.get_data()) < LEAST:
        return None
    return gzip.compress(response.get_data(), QUICK, mtime=0)


def _file(name: str, response: Response) -> bytes | None:
    path = Path(str(current_app.static_folder)) / name
    # What was put together here is asked for with every page of a new phone: packed once, not each time.
    return _of(path, path.stat().st_mtime_ns) if response.direct_passthrough else _text(response.get_data())


@lru_cache(maxsize=128)
def _text(plain: bytes) -> bytes | None:
    return gzip.compress(plain, SMALL, mtime=0) if len(plain) >= LEAST else None


@lru_cache(maxsize=256)
def _of(path: Path, changed: int) -> bytes | None:
    """The file packed; None where it is too small to gain by it."""
    plain = path.read_bytes()
    return gzip.compress(plain, SMALL, mtime=0) if len(plain) >= LEAST else None
