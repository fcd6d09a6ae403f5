"""A submit that comes out of a phone's outbox: whose it is, when it was made by that phone's clock, and its answer.

The outbox sends the form itself, to the form's own address, so that a step is read in one place only. What it adds
stands in one header, as JSON: `id` (the form's record id), `at_ms`, `offset_ms`, `tz_min`, `store`, `waited` and
`awaited`.
"""

import json
import re
from dataclasses import dataclass
from typing import Any

from flask import Flask, Response, g, request
from werkzeug.exceptions import BadRequest

from bench.journal.receipts import Sender
from bench.translation import as_said
from bench.web.channel import device
from bench.web.current import current_bench
from bench.web.ids import is_ulid
from bench.web.words import _

HEADER = "X-Bench-Outbox"
KEY_HEADER = "Idempotency-Key"
STORE = re.compile(r"[0-9a-hjkmnp-tv-z]{5}")
FAR_MS = 1 << 46
MOST_OFFSET_MS = 40 * 366 * 86_400_000
LONG_AGO_MS = 30_000


@dataclass(frozen=True)
class Sending:
    """What the outbox says of a submit.

    `store` marks one browser's storage; `waited` that a try had failed before; `awaited` that the page on which it was
    made still waits for the answer, None where an older page does not say.
    """

    id: str
    at_ms: int
    offset_ms: int | None
    tz_min: int
    store: str
    waited: bool
    awaited: bool | None = None

    @property
    def now_ms(self) -> int:
        """When it was made, by the laptop's clock as far as the phone had measured it."""
        return self.at_ms + (self.offset_ms or 0)


def sending() -> Sending | None:
    """What the outbox says of this request; None for a form that a page sent by itself, or on the laptop."""
    if HEADER not in request.headers or device() is None:
        return None
    if "sending" not in g:
        g.sending = read_header(request.headers[HEADER])
        if g.sending.id != request.headers.get(KEY_HEADER) or g.sending.id != request.form.get("record_id"):
            raise BadRequest(_("This record was damaged on the way. Nothing was recorded."))
    found: Sending = g.sending
    return found


def read_header(text: str) -> Sending:
    """The header, checked. Errors: BadRequest with a sentence."""
    try:
        raw = json.loads(text[:1000])
        store, waited, awaited = raw["store"], raw["waited"], raw.get("awaited")
        sent = Sending(raw["id"], raw["at_ms"], raw["offset_ms"], raw["tz_min"], store, waited, awaited)
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        sent = None
    if sent is None or not _sound(sent):
        raise BadRequest(_("This phone’s details cannot be read. Open the page again and send it."))
    return sent


def _sound(sent: Sending) -> bool:
    times = isinstance(sent.at_ms, int) and 0 < sent.at_ms < FAR_MS and isinstance(sent.tz_min, int)
    offset = sent.offset_ms is None or (isinstance(sent.offset_ms, int) and abs(sent.offset_ms) < MOST_OFFSET_MS)
    names = isinstance(sent.id, str) and is_ulid(sent.id) and isinstance(sent.store, str)
    told = isinstance(sent.waited, bool) and isinstance(sent.awaited, bool | None)
    if not (times and offset and names and told):
        return False
    return abs(sent.tz_min) <= 14 * 60 and STORE.fullmatch(sent.store) is not None and sent.now_ms > 0


def sender() -> Sender | None:
    """Whose records this request makes: a phone's, when its outbox sent it; None for the laptop's own."""
    sent = sending()
    if sent is None:
        return None
    return Sender(device_name(sent.store), sent.at_ms, sent.offset_ms, sent.tz_min)


def device_name(store: str) -> str:
    """The name under which a phone's records stand. A fresh storage is a fresh device, under the phone's name."""
    return f"{device().label}~{store}"


def was_done_before() -> bool:
    """Whether the submit waited on its phone: then it tells of what was done, and no gate can come before that."""
    sent = sending()
    return sent is not None and (sent.waited or current_bench().now_ms() - sent.now_ms > LONG_AGO_MS)


def attended() -> bool:
    """Whether somebody stands before the page that sent this, and can answer what the laptop asks back."""
    sent = sending()
    if sent is None or sent.awaited is None:
        return not was_done_before()
    return sent.awaited


def answer_outbox(app: Flask) -> None:
    """Answer the outbox in words that it can keep, instead of pages that nobody would see."""
    app.after_request(in_short)


def in_short(response: Response) -> Response:
    """The answer to a submit from an outbox, as JSON; every other answer as it is."""
    if HEADER not in request.headers or request.method != "POST" or device() is None or request.path == "/records":
        return response
    short = _short(response)
    if short is None:
        return response
    fine = short["status"] in ("kept", "done", "page")
    status = 200 if fine else 422 if response.status_code < 400 else response.status_code
    answer = Response(json.dumps(as_said(short)), status, mimetype="application/json")
    for name, value in response.headers.items():
        if name not in ("Content-Type", "Content-Length", "Location"):
            answer.headers.add(name, value)
    return answer


def _short(response: Response) -> dict[str, Any] | None:
    status = response.status_code
    if 300 <= status < 400:
        kept = current_bench().state.record(request.form.get("record_id")) is not None
        return {"status": "kept" if kept else "done", "next": response.headers.get("Location", "/")}
    if status == 409:
        say = _("Another record has this id. The laptop keeps and shows both.")
        return {"status": "conflict", "say": say}
    if status == 403:
        return {"status": "stale", "say": g.get("say_why") or _("The browser’s session was renewed.")}
    if status == 408:
        return None  # the phone keeps it and sends it again
    if 400 <= status < 500:
        errors = g.get("form_errors") or {}
        say = " ".join(map(str, errors.values())) or g.get("say_why") or _("The laptop could not use this.")
        return {"status": "refused", "say": say, "errors": errors} | (g.get("held") or {})
    if status != 200:
        return None
    # The page asks something. Where nobody stands before it any more, the record waits on its phone to be mended; the
    # sentence goes along in either case, because a page may be left while the answer is on its way.
    say = _("The laptop asks a question first. Answer it.")
    return {"status": "page" if attended() else "refused", "say": say, "errors": {}, "asks": True}
