"""What a phone still has to send, the time by the laptop's clock, and whole records from a phone's own store."""

from typing import Any

from flask import Blueprint, Response, abort, jsonify, request

from bench.journal.trouble import Trouble
from bench.web.channel import device, door
from bench.web.current import current_bench
from bench.web.guard import token
from bench.web.page import page
from bench.web.sending import KEY_HEADER
from bench.web.words import _

blueprint = Blueprint("outbox", __name__)

ANSWERS = {"new": 201, "same": 200, "conflict": 409, "refused": 422}


@blueprint.get("/outbox")
def show() -> Response:
    """What waits on this phone and what was refused. The list is the phone's own; the page only brings its words."""
    return page("outbox/show.html")


@blueprint.get("/outbox/hello")
def hello() -> Response:
    """The laptop's time, for measuring this phone's clock against it, and the token for sending."""
    here = device()
    name = here.label if here is not None else current_bench().journal.device
    return jsonify(now_ms=current_bench().now_ms(), token=token(), device=name, door=door())


@blueprint.post("/records")
def receive() -> Response:
    """One whole record of this phone, as an envelope. The key is its id: the same again gets the same answer.

    201 kept now, 200 kept before, 409 another record stands under the id (both are kept), 422 malformed.
    """
    here = device()
    if here is None:
        abort(403, _("Whole records are taken from paired phones only."))
    raw: Any = request.get_json(force=True, silent=True)
    if not isinstance(raw, dict) or raw.get("id") != request.headers.get(KEY_HEADER):
        return _say(400, None, "refused", _("This record was damaged on the way."))
    if not str(raw.get("device", "")).startswith(f"{here.label}~"):
        return _say(422, raw.get("id"), "refused", _("This record names another device as its source."))
    try:
        receipt = current_bench().journal.receive([raw])[0]
    except Trouble as trouble:
        return _say(503, raw.get("id"), "not-kept", trouble.say)
    return _say(ANSWERS[receipt.status], receipt.id, receipt.status, receipt.say)


def _say(code: int, identity: object, status: str, say: str | None) -> Response:
    answer = jsonify(id=identity, status=status, say=say)
    answer.status_code = code
    return answer
