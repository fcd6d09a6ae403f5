"""Files go over the workshop's Wi-Fi packed (gzip, RFC 1952), which makes them a third of their size.

Pages do not: they hold the token of the browser's forms, and a packed answer that holds a secret beside what was typed
can give the secret away by its length.
"""

import gzip
from functools import lru_cache
from pathlib import Path

from flask import Flask, Response, current_app, request

PACKED = frozenset({".js", ".css", ".svg", ".wasm", ".json", ".txt"})
LEAST = 400


def pack(app: Flask) -> None:
    """Pack the files of `static/` for every browser that says it can unpack them."""
    app.after_request(_packed)


def _packed(response: Response) -> Response:
    name = (request.view_args or {}).get("filename", "")
    if request.endpoint != "static" or Path(name).suffix not in PACKED:
        return response
    response.vary.add("Accept-Encoding")
    if response.status_code != 200 or "gzip" not in request.accept_encodings or "Range" in request.headers:
        return response
    path = Path(str(current_app.static_folder)) / name
    data = _of(path, path.stat().st_mtime_ns)
    if data is None:
        return response
    response.response.close()  # type: ignore[union-attr]  # the open file that was to be sent
    response.direct_passthrough = False
    response.set_data(data)
    response.content_encoding = "gzip"
    etag, _weak = response.get_etag()
    if etag is not None:
        response.set_etag(etag, weak=True)
    return response


@lru_cache(maxsize=256)
def _of(path: Path, changed: int) -> bytes | None:
    """The file packed; None where it is too small to gain by it."""
    plain = path.read_bytes()
    return gzip.compress(plain, 9, mtime=0) if len(plain) >= LEAST else None
