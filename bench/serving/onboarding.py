"""How a phone comes to trust the bench: the certificate, the steps on each system, and a check of each part."""

import plistlib
import uuid
from typing import Any

from flask import Blueprint, Response, abort, current_app, make_response, redirect, request, session

from bench.web import guard
from bench.web.channel import door
from bench.web.page import page
from bench.web.words import _

blueprint = Blueprint("trust", __name__, url_prefix="/trust")

SYSTEMS = {"android": _("Android"), "ios": _("iPhone and iPad"), "laptop": _("Another laptop")}


@blueprint.get("")
def home() -> Response:
    """What trust is for, and which phone it is."""
    asked = request.user_agent.string
    likely = "android" if "Android" in asked else "ios" if "iPhone" in asked or "iPad" in asked else ""
    return page("trust/home.html", systems=SYSTEMS, likely=likely, network=_network())


@blueprint.get("/on/<system>")
def steps(system: str) -> Response:
    """The steps on one system."""
    if system not in SYSTEMS:
        abort(404)
    return page("trust/steps.html", system=system, name=SYSTEMS[system], network=_network())


@blueprint.get("/check")
def check() -> Response:
    """Which of name, trust, worker and camera work, each tried by the phone itself."""
    network = _network()
    answer = page("trust/check.html", network=network)
    origins = [] if network is None else [network.origin, *network.by_address]
    # This page alone may load a picture from the bench's other addresses, which is what it tries.
    policy = guard.POLICY.replace("img-src 'self'", " ".join(["img-src 'self'", *filter(None, origins)]))
    answer.headers["Content-Security-Policy"] = policy
    return answer


@blueprint.get("/ping.svg")
def ping() -> Response:
    """The smallest picture: another page of ours that can load it has found the name and trusts the certificate."""
    answer = Response('<svg xmlns="http://www.w3.org/2000/svg" width="1" height="1"/>', mimetype="image/svg+xml")
    answer.headers["Cross-Origin-Resource-Policy"] = "cross-origin"
    return answer


@blueprint.get("/ca.crt")
def certificate() -> Response:
    """The authority's certificate."""
    headers = {"Content-Disposition": 'attachment; filename="saggar-bench.crt"'}
    return Response(_authority().der, mimetype="application/x-x509-ca-cert", headers=headers)


@blueprint.get("/ca.mobileconfig")
def profile() -> Response:
    """The same as a profile for iOS."""
    headers = {"Content-Disposition": 'attachment; filename="saggar-bench.mobileconfig"'}
    return Response(make_profile(_authority().der), mimetype="application/x-apple-aspen-config", headers=headers)


@blueprint.get("/by-address")
def by_address() -> Response:
    """Stay at the address by number, where the name is not found on this network."""
    if door() != "tls":
        abort(404)
    session["by_address"] = True
    session.permanent = True
    return make_response(redirect("/", 303))


def make_profile(der: bytes) -> bytes:
    """A configuration profile with one certificate. The same certificate gives the same profile again."""
    identity = uuid.uuid5(uuid.NAMESPACE_OID, der.hex())
    payload = {
        "PayloadType": "com.apple.security.root",
        "PayloadVersion": 1,
        "PayloadIdentifier": f"local.bench.saggar.{identity}.root",
        "PayloadUUID": str(uuid.uuid5(identity, "root")).upper(),
        "PayloadDisplayName": "Saggar bench",
        "PayloadCertificateFileName": "saggar-bench.crt",
        "PayloadContent": der,
    }
    whole = {
        "PayloadType": "Configuration",
        "PayloadVersion": 1,
        "PayloadIdentifier": f"local.bench.saggar.{identity}",
        "PayloadUUID": str(identity).upper(),
        "PayloadDisplayName": "Saggar bench of this workshop",
        "PayloadDescription": _("Lets this phone trust the bench in this workshop, and nothing else."),
        "PayloadContent": [payload],
    }
    return plistlib.dumps(whole)


def _network() -> Any:
    """What is known of the network; None while the bench is open for this computer alone."""
    return current_app.extensions.get("network")


def _authority() -> Any:
    network = _network()
    if network is None or network.authority is None:
        abort(404)
    return network.authority
