"""Through which door a page is seen, and by which device: what the pages themselves have to know of the network.

Doors: `local` on this computer, `tls` encrypted on the workshop's network, `yard` plain on the workshop's network.
"""

from typing import Any

from flask import Flask, current_app, g, has_request_context, request, session
from flask.sessions import SecureCookieSessionInterface

from bench.web.current import current_bench

KEY = "bench.door"
COOKIES = {"local": "bench", "yard": "bench-yard", "tls": "__Host-bench"}


def door() -> str:
    """The door of this request. Only our own servers can name another one than `local`."""
    return str(request.environ.get(KEY, "local"))


def device() -> Any:
    """The paired device that asks, with `name`, `label` and `ends_ms`; None on this computer."""
    found: Any = g.get("device")
    return found


def pairing() -> Any:
    """The register of paired devices."""
    return current_app.extensions["pairing"]


def recognise() -> bool:
    """Whether the request may see the bench: it comes from this computer or from a device that was let in."""
    here = door()
    if here == "local":
        return True
    found = pairing().admitted(session.get("device"), here)
    if found is not None:
        g.device = found
    return found is not None


def zone_min() -> int:
    """The bench's zone, for the end of a day."""
    return current_bench().zone_min()


class DoorSessions(SecureCookieSessionInterface):
    """Sessions with a cookie for each door, so that the plain one never speaks for the encrypted one."""

    def get_cookie_name(self, app: Flask) -> str:
        """The cookie of this door. The prefix makes browsers refuse one that was set in plain (RFC 6265bis)."""
        return COOKIES[door()] if has_request_context() else COOKIES["local"]

    def get_cookie_secure(self, app: Flask) -> bool:
        """Whether the browser may send it over encrypted connections alone."""
        return has_request_context() and door() == "tls"
