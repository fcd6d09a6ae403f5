"""Pairing: the laptop shows a code, a phone that shows it back is let in, and each can be shut out again."""

from dataclasses import dataclass
from typing import Any

from flask import Blueprint, Response, abort, current_app, make_response, redirect, request, session

from bench.printing.symbols import QUIET, drawn
from bench.science.refusal import Refusal
from bench.web.channel import door, pairing, zone_min
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, page
from bench.web.turns import act_once
from bench.web.words import _

blueprint = Blueprint("pair", __name__, url_prefix="/pair")

MOST_CODE = 40


@dataclass(frozen=True)
class Way:
    """One way in: its address with the code in it, and the same as a QR symbol."""

    name: str
    address: str
    modules: int
    path: str


@blueprint.get("")
def arrive() -> Response:
    """On the laptop: the code, the ways in and the devices. On anything else: where the code is given."""
    if door() == "local":
        return _show_laptop()
    return _ask(blank(code=request.args.get("code", "")[:MOST_CODE]))


@blueprint.post("")
def enter() -> Response:
    """Let this device in for its code, under the name that it is given."""
    if door() == "local":
        return go("pair.arrive")
    form = read_form()
    code = form.text("code", max_len=MOST_CODE, required=True) or ""
    name = form.text("name", max_len=40, required=True) or ""
    if form.ok:
        act_once()  # a code lets in one device
        try:
            found = pairing().admit(code, name, door(), zone_min(), request.remote_addr or "")
        except Refusal as refusal:
            form.refuse(refusal)
            answer = _ask(form)
            wait_s = getattr(refusal, "wait_s", None)
            if wait_s is not None:
                answer.status_code = 429
                answer.headers["Retry-After"] = str(wait_s)
            return answer
        by_address = session.get("by_address")
        session.clear()
        session["device"] = found.id
        if by_address:
            session["by_address"] = True
        session.permanent = True
        return make_response(redirect("/", 303))
    return _ask(form)


@blueprint.post("/out")
def shut_out() -> Response:
    """Shut a device out, on the laptop alone."""
    if door() != "local":
        abort(403, _("Only the laptop can remove devices."))
    if not pairing().shut_out(request.form.get("device", "")[:64]):
        abort(404)
    return go("pair.arrive")


def _ask(form: Form) -> Response:
    return page("pair/ask.html", form=form, door=door(), ends_h=4)


def _show_laptop() -> Response:
    network: Any = current_app.extensions.get("network")
    code = pairing().offer() if network is not None else ""
    ways = []
    if network is not None:
        ways = [_way(_("Without a certificate: until 04:00"), url, code) for url in network.yard_urls]
        if network.origin:
            ways.append(_way(_("App, once the phone trusts this bench: for good"), network.origin, code))
    now = current_bench().now_ms()
    devices = [(device, device.let_in(device.door, now)) for device in pairing().devices]
    return page("pair/laptop.html", network=network, code=code, ways=ways, devices=devices)


def _way(name: str, origin: str, code: str) -> Way:
    address = f"{origin}/pair?code={code}"
    rows, path = drawn(address)
    return Way(name, address, rows + 2 * QUIET, path)
