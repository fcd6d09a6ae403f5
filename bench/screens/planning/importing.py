"""Jars and recipes from a CSV file: choose the columns, look at what comes of each row, take in what is right."""

from typing import Any

from flask import Blueprint, Response, abort

from bench.exporting.cells import read_csv
from bench.exporting.columns import KINDS, NONE, guess, picked
from bench.records.record import BENCH
from bench.science.refusal import Refusal
from bench.screens.kit.gating import repeated
from bench.screens.kit.issuing import free_codes
from bench.screens.planning.bringing import MOST_ROWS, READERS, Brought
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, page
from bench.web.recording import Entry, entry_id, record_all
from bench.web.sent_files import sent_file, sent_files
from bench.web.words import _, many

blueprint = Blueprint("importing", __name__, url_prefix="/import")

MOST_BYTES = 4 << 20
A_THING = 3
"""Records that each jar or plan takes: its own, the code issued, the code assigned."""
MOST_AT_ONCE = 200
RECORDS = {"jars": "jar.opened", "recipes": "batch.planned"}
TITLES = {"jars": _("Jars from a file"), "recipes": _("Recipes from a file")}
BACK = {"jars": "/shelf", "recipes": "/plan"}
FIELD_WORDS = {
    "reagent": _("Reagent"),
    "formula": _("Formula"),
    "hydrate_known": _("Whether its water is known"),
    "lot": _("Lot"),
    "assay_pct": _("Assay, %"),
    "net_g": _("In the jar, g"),
    "price": _("Price"),
    "supplier": _("Supplier"),
    "recipe": _("Name of the recipe"),
    "g": _("Grams"),
    "target": _("Target"),
}


@blueprint.get("/<any(jars, recipes):what>")
def ask(what: str) -> Response:
    """Which file."""
    return _show(what, blank())


@blueprint.post("/<any(jars, recipes):what>")
def look(what: str) -> Response:
    """Look at the file by the chosen columns; take it in where that was pressed."""
    form = read_form()
    if form.typed.get("take") and repeated(form):
        return _taken(what)
    digest = sent_file(form, what, MOST_BYTES)
    if digest is None:
        return _show(what, form)
    try:
        rows = read_csv(sent_files(what)[digest])
        if len(rows) < 2:
            raise Refusal(_("There is no row below the head of this table."), "file")
        if len(rows) - 1 > MOST_ROWS:
            raise Refusal(_("At most {n} rows can be imported at once. Split the file.", n=MOST_ROWS), "file")
    except Refusal as refusal:
        form.refuse(refusal, "file")
        return _show(what, form)
    form.typed["digest"] = digest
    chosen = _columns(form, what, rows[0])
    found = _found(form, what, rows, chosen)
    good = [one for one in found if one.data is not None][:MOST_AT_ONCE]
    if form.ok and form.typed.get("take") and good:
        say = many("One imported", "{n} imported", len(good))
        if record_all(_entries(form, what, good), form=form, say=say):
            return _taken(what)
    return _show(what, form, rows, chosen, found)


def _taken(what: str) -> Response:
    return go("shelf.show") if what == "jars" else go("today.show")


def _columns(form: Form, what: str, head: list[str]) -> dict[str, int]:
    """The column of each field: as chosen, else as guessed, which the form then shows."""
    guessed = guess(head, KINDS[what])
    chosen: dict[str, int] = {}
    for field in KINDS[what]:
        name = f"column.{field.name}"
        typed = form.typed.setdefault(name, str(guessed.get(field.name, NONE)))
        if typed.isascii() and typed.isdecimal() and int(typed) < len(head):
            chosen[field.name] = int(typed)
    return chosen


def _found(form: Form, what: str, rows: list[list[str]], chosen: dict[str, int]) -> list[Brought]:
    here = current_bench()
    try:
        return READERS[what](picked(rows, chosen, KINDS[what]), here.state, here.library)
    except Refusal as refusal:
        form.refuse(refusal)
        return []


def _entries(form: Form, what: str, good: list[Brought]) -> list[Entry]:
    """A record and a code for each; a submit that comes again gets the codes of the first time."""
    state = current_bench().state
    standing = [state.code_of(entry_id(form, A_THING * n)) for n in range(len(good))]
    fresh = iter(free_codes(len(good)))
    entries: list[Entry] = []
    for one, code in zip(good, (code or next(fresh) for code in standing), strict=True):
        made = entry_id(form, len(entries))
        entries += [
            Entry(RECORDS[what], None, one.data or {}, imported=True, assumed=one.assumed),
            Entry("code.issued", BENCH, {"codes": [code]}),
            Entry("code.assigned", made, {"code": code, "thing": made}),
        ]
    return entries


def _show(
    what: str,
    form: Form,
    rows: list[list[str]] | None = None,
    chosen: dict[str, int] | None = None,
    found: list[Brought] | None = None,
) -> Response:
    if what not in KINDS:
        abort(404)
    head = rows[0] if rows else []
    more: dict[str, Any] = {
        "fields": [(f"column.{field.name}", FIELD_WORDS[field.name]) for field in KINDS[what]],
        "names": [(NONE, _("not in the file")), *((str(n), name or str(n + 1)) for n, name in enumerate(head))],
        "found": found or [],
        "good": min(MOST_AT_ONCE, sum(one.data is not None for one in found or [])),
    }
    return page("shelf/import.html", form=form, what=what, title=TITLES[what], back=BACK[what], **more)
