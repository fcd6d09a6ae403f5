"""What stands before every view: the host asked for, who sent a form, how large it may be; and the headers after it."""

import hashlib
import hmac
import ipaddress
import secrets
from collections.abc import Iterable
from urllib.parse import urlsplit

from flask import Flask, Response, abort, current_app, g, request, session
from werkzeug.exceptions import Forbidden, RequestEntityTooLarge

from bench.web.words import _

SAFE = frozenset({"GET", "HEAD", "OPTIONS"})
OWN_NAMES = frozenset({"localhost", "bench.local"})
FORM_MAX = 2 * 1024 * 1024
PHOTO_MAX = 32 * 1024 * 1024
STRANGER_MAX = 16 * 1024
STRANGER_S = 3.0
"""What a device that is not let in may send, and how long it may take: a code and a name."""
TOKEN_HEADER = "X-Bench-Token"
TOKEN_BYTES = 16
"""128 bits of the keyed hash: as many as can ever be guessed at (RFC 2104, section 5)."""

NO_DOCUMENTS = frozenset({"text/css", "text/javascript", "application/wasm", "image/png"})
"""Files that no browser ever shows as a page: what only bears on pages is left off them, for phones’ sake."""

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'; manifest-src 'self'; worker-src 'self'; "
    "media-src 'self' blob:"
)


class StaleToken(Forbidden):
    """The form came from this bench, but from a page of another session: it is shown again, to be sent once more."""


def token() -> str:
    """The token that each form of this browser carries. It stays good, so stored pages keep working.

    It is written differently in each answer, by a pad that stands before it: what does not repeat cannot be guessed at
    from the length of packed answers.
    """
    if "pad" not in g:
        g.pad = secrets.token_bytes(TOKEN_BYTES)
    pad: bytes = g.pad
    return (pad + _crossed(pad, _secret())).hex()


def _secret() -> bytes:
    if "sid" not in session:
        session["sid"] = secrets.token_hex(16)
        session.permanent = True
    key = str(current_app.secret_key).encode()
    return hmac.new(key, f"form:{session['sid']}".encode(), hashlib.sha256).digest()[:TOKEN_BYTES]


def _crossed(one: bytes, other: bytes) -> bytes:
    return bytes(a ^ b for a, b in zip(one, other, strict=True))


def is_token(sent: str) -> bool:
    """Whether this is the token of this browser's forms, under whichever pad."""
    try:
        raw = bytes.fromhex(sent)
    except ValueError:
        return False
    if len(raw) != 2 * TOKEN_BYTES:
        return False
    return hmac.compare_digest(_crossed(raw[:TOKEN_BYTES], raw[TOKEN_BYTES:]), _secret())


def host_is_ours(host: str, names: Iterable[str]) -> bool:
    """Whether the Host header names this bench: one of our names, or a bare address.

    A foreign name that was pointed at this machine (DNS rebinding) is always a name, never an address.
    """
    try:
        name = urlsplit(f"//{host}").hostname or ""
    except ValueError:
        return False
    if name in OWN_NAMES or name in names:
        return True
    try:
        ipaddress.ip_address(name)
    except ValueError:
        return False
    return True


def same_origin() -> bool:
    """Whether the browser itself says that the request comes from our own page, where it says anything."""
    site = request.headers.get("Sec-Fetch-Site")
    if site is not None and site not in ("same-origin", "none"):
        return False
    origin = request.headers.get("Origin")
    try:
        return origin is None or urlsplit(origin).netloc == request.host
    except ValueError:  # no address at all, as no browser sends it
        return False


def check_host() -> None:
    """Answer to our own names only."""
    if not host_is_ours(request.host, getattr(current_app.extensions["bench"].settings, "names", ())):
        abort(400, _("This address is not the bench’s. Open it by the address that the laptop shows."))


def check_size() -> None:
    """Bound what may be sent at once: a form, or a form with a photo."""
    photo = request.mimetype == "multipart/form-data"
    request.max_content_length = STRANGER_MAX if g.get("stranger") else PHOTO_MAX if photo else FORM_MAX
    request.max_form_memory_size = FORM_MAX


def take_body() -> None:
    """Read what was sent, all of it, before the request takes its turn: nobody waits for a slow phone, or a stranger.

    Errors: RequestEntityTooLarge, before anything is read; RequestTimeout where it comes too slowly.
    """
    if (request.content_length or 0) > (request.max_content_length or 0):
        raise RequestEntityTooLarge
    body = request.environ["wsgi.input"]
    if g.get("stranger") and hasattr(body, "hurry"):
        body.hurry(STRANGER_S)
    if request.content_length and hasattr(body, "whole"):
        body.whole()


def check_sender() -> None:
    """Let only our own pages change anything: the same origin, and this browser's token."""
    if request.method in SAFE:
        return
    if not same_origin():
        abort(403, _("This came from another site. Nothing was recorded."))
    sent = request.headers.get(TOKEN_HEADER) or request.form.get("token", "")
    if not is_token(sent):
        raise StaleToken


def add_headers(response: Response) -> Response:
    """The headers of every answer. Pages are never kept by a cache; static files carry their content's hash."""
    response.headers["X-Content-Type-Options"] = "nosniff"
    if not (request.endpoint == "static" and response.mimetype in NO_DOCUMENTS):
        response.headers.setdefault("Content-Security-Policy", POLICY)
        response.headers["Referrer-Policy"] = "same-origin"
        response.headers["Cross-Origin-Opener-Policy"] = "same-origin"
    response.headers["Cross-Origin-Resource-Policy"] = "same-origin"
    if request.endpoint == "static" and "v" in request.args and response.status_code == 200:
        response.headers["Cache-Control"] = "public, max-age=31536000, immutable"
    elif request.endpoint != "static" or response.status_code >= 400:
        response.headers.setdefault("Cache-Control", "no-store")
    return response


def init_guard(app: Flask) -> None:
    """Put the checks before every view and the headers after it."""
    app.before_request(check_host)
    app.before_request(check_size)
    app.before_request(take_body)
    app.before_request(check_sender)
    app.after_request(add_headers)
