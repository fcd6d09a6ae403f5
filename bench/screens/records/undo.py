"""Undo: a record that withdraws what was recorded last. Nothing is deleted; the withdrawn record stays in sight."""

from collections.abc import Iterator

from flask import Blueprint, Response, make_response, redirect

from bench.screens.kit.forms import read_form
from bench.screens.kit.ids import derived, is_ulid
from bench.screens.kit.joined import bench
from bench.screens.kit.page import page
from bench.screens.kit.recording import Entry, record_all, remember
from bench.screens.kit.ways import own_path
from bench.screens.kit.words import _
from bench.workshop.schema import MOST_ITEMS

blueprint = Blueprint("undo", __name__)

MOST_OF_ONE = 40


@blueprint.post("/undo")
def keep() -> Response:
    """Withdraw the named records, all from one submit, and go back to where *Undo* was tapped."""
    form = read_form()
    ids = [part for part in form.typed.get("ids", "").split() if is_ulid(part)][:40]
    if not ids:
        form.refuse(_("There is nothing here to undo."))
    ids = whole_submits(ids)
    why = form.text("why", max_len=400) or _("undone at once")
    back = own_path(form.typed.get("back", "/"))
    said = _last_said(ids)
    if form.ok and record_all(_entries(ids, why), form=form, say=said):
        remember(ids, said, undone=True)
        return make_response(redirect(back, 303))
    if ids:
        return page("undo/ask.html", form=form, ids=ids, back=back)
    return page(
        "fault.html", form=form, status=422, title=_("Not undone"), why=" ".join(form.errors.values()), back=back
    )


def whole_submits(ids: list[str]) -> list[str]:
    """The same records with all others of their submits: a phone without the laptop knows the first one's id alone.

    A logger's file is one submit of thousands, of which a page names the first few.
    """
    return list(dict.fromkeys([*ids, *(more for one in ids for more in _others(one))]))


def _others(first: str) -> Iterator[str]:
    records, n = bench().state.records, 1
    while n < MOST_OF_ONE or derived(first, n) in records:
        if derived(first, n) in records:
            yield derived(first, n)
        n += 1


def _entries(ids: list[str], why: str) -> list[Entry]:
    """One record that withdraws them, or as many as it takes: a list in a record is of some length."""
    parts = [ids[at : at + MOST_ITEMS] for at in range(0, len(ids), MOST_ITEMS)]
    return [Entry("withdrawn", part[0], {"ids": part, "why": why}) for part in parts]


def _last_said(ids: list[str]) -> str:
    from bench.screens.kit.page import last_recorded

    last = last_recorded()
    return last.say if last and last.ids == ids[: len(last.ids)] else _("One record")
