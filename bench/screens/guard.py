"""What stands before every view: the host asked for, who sent a form, how large it may be; and the headers after it."""

import hashlib
import hmac
import ipaddress
import secrets
from collections.abc import Iterable
from urllib.parse import urlsplit

from flask import Flask, Response, abort, current_app, request, session
from werkzeug.exceptions import Forbidden

from bench.screens.words import _

SAFE = frozenset({"GET", "HEAD", "OPTIONS"})
OWN_NAMES = frozenset({"localhost", "bench.local"})
FORM_MAX = 2 * 1024 * 1024
PHOTO_MAX = 32 * 1024 * 1024
TOKEN_HEADER = "X-Bench-Token"

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'; manifest-src 'self'; worker-src 'self'; "
    "media-src 'self' blob:"
)


class StaleToken(Forbidden):
    """The form came from this bench, but from a page of another session: it is shown again, to be sent once more."""


def token() -> str:
    """The token that each form of this browser carries. It stays the same, so stored pages keep working."""
    if "sid" not in session:
        session["sid"] = secrets.token_hex(16)
        session.permanent = True
    key = str(current_app.secret_key).encode()
    return hmac.new(key, f"form:{session['sid']}".encode(), hashlib.sha256).hexdigest()


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
    return origin is None or urlsplit(origin).netloc == request.host


def check_host() -> None:
    """Answer to our own names only."""
    if not host_is_ours(request.host, getattr(current_app.extensions["bench"].settings, "names", ())):
        abort(400, _("This address is not the bench’s. Open it by the address that the laptop shows."))


def check_size() -> None:
    """Bound what may be sent at once: a form, or a form with a photo."""
    photo = request.mimetype == "multipart/form-data"
    request.max_content_length = PHOTO_MAX if photo else FORM_MAX
    request.max_form_memory_size = FORM_MAX


def check_sender() -> None:
    """Let only our own pages change anything: the same origin, and this browser's token."""
    if request.method in SAFE:
        return
    if not same_origin():
        abort(403, _("This came from another site, not from the bench, so nothing was recorded."))
    sent = request.headers.get(TOKEN_HEADER) or request.form.get("token", "")
    if not hmac.compare_digest(sent.encode("utf-8", "replace"), token().encode()):
        raise StaleToken


def add_headers(response: Response) -> Response:
    """The headers of every answer. Pages are never kept by a cache; static files carry their content's hash."""
    response.headers.setdefault("Content-Security-Policy", POLICY)
    response.headers["X-Content-Type-Options"] = "nosniff"
    response.headers["Referrer-Policy"] = "same-origin"
    response.headers["Cross-Origin-Opener-Policy"] = "same-origin"
    response.headers["Cross-Origin-Resource-Policy"] = "same-origin"
    if request.endpoint == "static" and "v" in request.args and response.status_code == 200:
        response.headers["Cache-Control"] = "public, max-age=31536000, immutable"
    elif request.endpoint != "static" or response.status_code >= 400:
        response.headers.setdefault("Cache-Control", "no-store")
    return response


def stand_guard(app: Flask) -> None:
    """Put the checks before every view and the headers after it."""
    app.before_request(check_host)
    app.before_request(check_size)
    app.before_request(check_sender)
    app.after_request(add_headers)
