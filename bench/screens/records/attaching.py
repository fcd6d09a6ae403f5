"""Files of a thing: a data sheet, a certificate, a pattern. Kept as they are, and handed out as downloads alone."""

import hashlib
import io

from flask import Blueprint, Response, abort, make_response, redirect, request, send_file

from bench.journal.attachments import MOST_BYTES, MOST_MB, attachment, checked, keep_attachment, plain_name
from bench.journal.trouble import NotKept
from bench.science.refusal import Refusal
from bench.screens.kit.attached import WHAT_WORDS
from bench.screens.kit.thing_label import label_or_404
from bench.web.current import current_bench
from bench.web.existing import or_404
from bench.web.forms import Form, blank, read_form
from bench.web.ids import derived
from bench.web.own_paths import own_path
from bench.web.page import page
from bench.web.recording import Entry, record_all
from bench.web.sent_files import sent_file, sent_files
from bench.web.turns import out_of_turn
from bench.web.words import _
from bench.workshop.things.attached import attached_to

blueprint = Blueprint("attaching", __name__)

SHELF = "attached"
MOST_INSTRUMENT = 120
LOCKED = "default-src 'none'; sandbox"
"""For a file that a browser should show all the same: it may fetch nothing and run nothing."""


@blueprint.get("/thing/<thing>/file")
def ask(thing: str) -> Response:
    """Ask for a file of a thing."""
    return _ask(thing, blank(back=own_path(request.args.get("back", f"/thing/{thing}"))))


def _ask(thing: str, form: Form) -> Response:
    return page(
        "thing/file.html",
        form=form,
        called=label_or_404(thing),
        back=_back(thing, form),
        whats=list(WHAT_WORDS.items()),
        most_mb=MOST_MB,
    )


def _back(thing: str, form: Form) -> str:
    return own_path(form.typed.get("back") or f"/thing/{thing}")


@blueprint.post("/thing/<thing>/file")
def keep(thing: str) -> Response:
    """Keep a file of a thing, and go back to where it was attached."""
    here, form = current_bench(), read_form()
    data = _read(form)
    if not here.state.exists(thing):
        abort(404)
    what = form.choice("what", WHAT_WORDS)
    instrument, day = form.text("instrument", max_len=MOST_INSTRUMENT), form.day("at")
    if form.ok and data is not None and what is not None:
        told = {"name": plain_name(form.typed.get("named", "")), "what": what, "instrument": instrument, "at": day}
        entry = _entry(form, thing, data, told)
        say = _("{name}, attached", name=told["name"])
        if entry is not None and record_all([entry], form=form, say=say):
            sent_files(SHELF).pop(form.typed.get("digest", ""), None)
            return make_response(redirect(_back(thing, form), 303))
    return _ask(thing, form)


def _read(form: Form) -> bytes | None:
    """The file of this request, or the one that was sent with this form before it was refused."""
    sent = request.files.get("file")
    if sent is not None and sent.filename:
        form.typed["named"] = sent.filename[:400]
        if not sent.stream.read(1):
            form.typed.pop("digest", None)
            with form.beside("file"):
                return checked(b"")
        sent.stream.seek(0)
    with out_of_turn():
        digest = sent_file(form, SHELF, MOST_BYTES)
    form.typed.pop("digest", None)
    if digest is None:
        return None
    data = sent_files(SHELF)[digest]
    with form.beside("file"):
        checked(data)
        form.typed["digest"] = digest
        return data
    sent_files(SHELF).pop(digest, None)
    return None


def _entry(form: Form, of: str, data: bytes, told: dict[str, str | None]) -> Entry | None:
    """Stores a file and gives its record. Its id follows from the form's and its content, as a photo's does."""
    number = int.from_bytes(hashlib.sha256(data).digest()[:6], "big")
    file = derived(form.record_id, 2_000_000 + number)
    try:
        digest = keep_attachment(current_bench().settings.photos, file, data)
    except NotKept as trouble:
        form.refuse(trouble.say, "file")
        return None
    return Entry("file.attached", of, {"of": of, "file": file, "sha256": digest, "bytes": len(data), **told})


@blueprint.get("/thing/<thing>/file/<file>")
def hand_out(thing: str, file: str) -> Response:
    """A file as it was attached, once its digest was found to be the one of its record; never shown, always saved."""
    here = current_bench()
    body = or_404(next((one.body for one in attached_to(here.state, thing) if one.body.file == file), None))
    try:
        with out_of_turn():
            data = attachment(here.settings.photos, body.file, body.sha256)
    except Refusal as refusal:
        abort(409, refusal.say)
    if data is None:
        abort(404, _("That file is not here yet. A merge or a shared folder brings it."))
    name = plain_name(body.name)  # a record that was merged in may say anything
    answer = send_file(io.BytesIO(data), "application/octet-stream", as_attachment=True, download_name=name)
    answer.headers["Content-Security-Policy"] = LOCKED
    answer.headers["Cache-Control"] = "no-store"
    return answer
