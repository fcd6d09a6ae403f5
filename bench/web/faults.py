"""When something went wrong: a calm page that says what happened, that nothing was lost, and a way back."""

import logging

from flask import Flask, Response, request
from werkzeug.exceptions import HTTPException

from bench.science.refusal import Refusal
from bench.web.current import current_bench
from bench.web.guard import StaleToken
from bench.web.ids import is_ulid
from bench.web.own_paths import own_path
from bench.web.page import page
from bench.web.recording import Conflict
from bench.web.words import _

log = logging.getLogger("bench")


def _said(status: int) -> tuple[str, str]:
    """Title and sentence for a status."""
    kept = _("Everything recorded before is still there.")
    said = {
        403: (_("Not recorded"), _("This could not be accepted from here.")),
        404: (_("Not here"), _("This bench has no such page. Check what you typed.")),
        405: (
            _("This page cannot be opened like that"),
            _("This address is not opened like that. Go back and use the key on the screen."),
        ),
        408: (_("Too slow"), _("This arrived too slowly and was not recorded. Send it again.")),
        413: (_("Too large"), _("This is too large and was not recorded.")),
        500: (_("Something broke here"), _("The fault is the bench’s, not yours. This step may not be recorded.")),
    }
    title, why = said.get(status, (_("Not done"), _("The bench could not use what was sent.")))
    return title, f"{why} {kept}"


def _way_back() -> str:
    """Where the person came from, when that was one of our own pages."""
    before = request.referrer or ""
    here = request.host
    return own_path(before.split(here, 1)[-1]) if here and here in before else "/"


def _fault(status: int, say: str | None = None) -> Response:
    title, why = _said(status)
    return page("fault.html", status=status, title=title, why=say or why, back=_way_back())


def _own_words(error: HTTPException) -> str | None:
    """The sentence we handed to `abort`, if we did; the library's own texts are not shown."""
    ours = error.description and error.description != type(error).description
    return error.description if ours else None


def on_http(error: HTTPException) -> Response:
    """Any refused request."""
    status = error.code or 500
    answer = _fault(status, _own_words(error) if status in (400, 403, 404, 409, 415) else None)
    if status == 405 and getattr(error, "valid_methods", None):
        answer.headers["Allow"] = ", ".join(error.valid_methods)  # type: ignore[attr-defined]
    return answer


def on_stale(error: StaleToken) -> Response:
    """A form from a page of another session: everything that was typed, and one key to send it again."""
    try:
        fields = {name: value for name, value in request.form.items() if name != "token"}
    except HTTPException as unread:  # it was judged by its head, and the rest never came
        return on_http(unread)
    typed = [(name, value[:200]) for name, value in fields.items() if value and not is_ulid(value)]
    return page("resend.html", status=403, fields=fields, typed=typed, action=request.full_path, back=_way_back())


def on_conflict(error: Conflict) -> Response:
    """Two submits of one stored page with different content: both are kept, and both are shown."""
    receipt = error.receipt
    sides = [
        one for conflict in current_bench().journal.conflicts if conflict.id == receipt.id for one in conflict.records
    ]
    shown = [
        {"title": record_title(n, one.at), "facts": [(name, str(value)) for name, value in one.data.items()]}
        for n, one in enumerate(sides)
    ]
    settle = f"/thing/{sides[0].subject}/correct/{sides[0].id}" if sides else None
    return page("conflict.html", status=409, sides=shown, back=_way_back(), settle=settle)


def record_title(n: int, at: str) -> str:
    """What to call one of the records under one id."""
    first = _("The first, which counts") if n == 0 else _("The other")
    return f"{first} · {at[11:16]} UTC"


def on_refusal(error: Refusal) -> Response:
    """What was asked for and cannot be had, on a page without a form: its sentence, and a way back."""
    return _fault(422, error.say)


def on_crash(error: Exception) -> Response:
    """A fault of ours. The log has the whole story; the screen has a way back."""
    log.error("%s %s failed", request.method, request.path, exc_info=error)
    try:
        return _fault(500)
    except Exception as second:
        log.error("the page that says so failed too", exc_info=second)
        title, why = _said(500)
        return Response(f"<!doctype html><title>{title}</title><h1>{title}</h1><p>{why}</p><a href=/>Today</a>", 500)


def catch_faults(app: Flask) -> None:
    """Put these pages in the place of the library's."""
    app.register_error_handler(StaleToken, on_stale)
    app.register_error_handler(Conflict, on_conflict)
    app.register_error_handler(Refusal, on_refusal)
    app.register_error_handler(HTTPException, on_http)
    app.register_error_handler(Exception, on_crash)
