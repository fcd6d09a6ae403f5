"""What stands before every view on the network's doors: a stranger sees the page for pairing, and nothing else."""

import ipaddress
from typing import Any
from urllib.parse import urlsplit

from flask import Flask, Response, current_app, g, make_response, redirect, request, session

from bench.web import guard
from bench.web.channel import door, recognise
from bench.web.page import page

OPEN = frozenset({"static", "pair.arrive", "pair.enter"})
"""What a stranger may ask for: the files of the pages themselves, which hold nobody's data, and the pairing."""
OPEN_BLUEPRINTS = frozenset({"trust"})


def init_access_control(app: Flask) -> None:
    """Let in who may come in. It stands before all other checks, so nothing of a stranger's is even read."""
    app.before_request(let_in)


def let_in() -> Response | None:
    """Nothing where the request goes on; else the page for pairing, 403, whatever was asked for."""
    guard.check_host()
    elsewhere = to_the_one_origin()
    if elsewhere is not None:
        return elsewhere
    if recognise():
        return None
    g.stranger = True
    if request.endpoint in OPEN or request.blueprint in OPEN_BLUEPRINTS:
        return None
    guard.check_size()
    if request.headers.get("X-Bench-Outbox"):
        answer = Response('{"status":"shut"}', 401, mimetype="application/json")
    else:
        answer = page("pair/stranger.html", status=403)
    if request.content_length:
        # What the stranger sent is left unread, so the connection cannot be used for a further request.
        answer.headers["Connection"] = "close"
    return answer


def to_the_one_origin() -> Response | None:
    """From an address by number to the one by name: a phone keeps what waits to be sent under the address it opened.

    Not where the name is not found on this network, which the check on the phone has shown; and not for the check.
    """
    network: Any = current_app.extensions.get("network")
    if door() != "tls" or network is None or request.method != "GET" or request.blueprint == "trust":
        return None
    if request.endpoint == "static" or session.get("by_address") or not _is_number(request.host):
        return None
    return make_response(redirect(network.origin + request.full_path.rstrip("?"), 302))


def _is_number(host: str) -> bool:
    try:
        ipaddress.ip_address(urlsplit(f"//{host}").hostname or "")
    except ValueError:
        return False
    return True
