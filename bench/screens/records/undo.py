"""Undo: a record that withdraws what was recorded last. Nothing is deleted; the withdrawn record stays in sight."""

import re
from collections.abc import Iterator
from urllib.parse import urlsplit

from flask import Blueprint, Response, current_app, make_response, redirect
from werkzeug.exceptions import HTTPException

from bench.records.schema import MOST_ITEMS
from bench.web.current import current_bench
from bench.web.flash import AGAIN, Crumb, crumbs, is_held, remember
from bench.web.forms import read_form
from bench.web.ids import derived, is_ulid
from bench.web.own_paths import own_path
from bench.web.page import page
from bench.web.recording import Entry, record_all
from bench.web.words import _

blueprint = Blueprint("undo", __name__)

MOST_OF_ONE = 40
LATER_STEP = re.compile(r"(/\w+)?/\w+/[0-9A-Z]{26}/")
"""The page of a step of a thing, which a record may have led to: not the thing's own page, nor a list."""


@blueprint.post("/undo")
def keep() -> Response:
    """Withdraw the named records, all from one submit, and go back to where *Undo* was tapped."""
    form = read_form()
    ids = [part for part in form.typed.get("ids", "").split() if is_ulid(part)][:40]
    if not ids:
        form.refuse(_("There is nothing to undo here."))
    ids = whole_submits(ids)
    why = form.text("why", max_len=400) or _("undone at once")
    back = own_path(form.typed.get("back", "/"))
    made = next((one for one in crumbs() if ids and one.id == ids[0]), None)
    if form.ok and record_all(_entries(ids, why), form=form, say=made.say if made else _("One record")):
        if made is not None:
            remember(ids, made.say, things=made.things, page=made.page, undone=True)
        return make_response(redirect(_after(ids, back, made), 303))
    if ids:
        return page("undo/ask.html", form=form, ids=ids, back=back)
    return page(
        "fault.html",
        form=form,
        status=422,
        title=_("Not undone"),
        why=" ".join(map(str, form.errors.values())),
        back=back,
    )


def whole_submits(ids: list[str]) -> list[str]:
    """The same records with all others of their submits: a phone without the laptop knows the first one's id alone.

    A logger's file is one submit of thousands, of which a page names the first few.
    """
    return list(dict.fromkeys([*ids, *(more for one in ids for more in _others(one))]))


def _others(first: str) -> Iterator[str]:
    records, n = current_bench().state.records, 1
    while n < MOST_OF_ONE or derived(first, n) in records:
        if derived(first, n) in records:
            yield derived(first, n)
        n += 1


def _entries(ids: list[str], why: str) -> list[Entry]:
    """One record that withdraws them, or as many as it takes: a list in a record is of some length."""
    parts = [ids[at : at + MOST_ITEMS] for at in range(0, len(ids), MOST_ITEMS)]
    return [Entry("withdrawn", part[0], {"ids": part, "why": why}) for part in parts]


def _after(ids: list[str], back: str, made: Crumb | None) -> str:
    """Where *Undo* was tapped; from the form of a later step, and from what went with the record, to its own form.

    The form of something that is gone has what was typed in it again.
    """
    page = own_path(made.page) if made is not None else "/"
    gone = any(one in back and not current_bench().state.exists(one) for one in ids)
    if not gone and not LATER_STEP.match(back):
        return back
    if page == "/" or not _is_page(page):
        return "/" if gone else back
    return f"{page}{'&' if '?' in page else '?'}{AGAIN}={ids[0]}" if gone or is_held(ids[0]) else page


def _is_page(path: str) -> bool:
    try:
        return bool(current_app.url_map.bind("").match(urlsplit(path).path, method="GET"))
    except HTTPException:
        return False
