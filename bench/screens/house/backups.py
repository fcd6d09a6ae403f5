"""Backups: what copies there are, what each would bring, and the keys that take one in or go back to it."""

from pathlib import Path
from typing import Any

from flask import Blueprint, Response, abort, request, session

from bench.journal import Trouble
from bench.records.record import BENCH
from bench.web.channel import door
from bench.web.current import current_bench
from bench.web.existing import or_404
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, page
from bench.web.recording import Entry, record_all
from bench.web.turns import act_once, out_of_turn
from bench.web.words import _, many

blueprint = Blueprint("backups", __name__, url_prefix="/backups")

FOLDER = "backup_folder"
PATH_MAX = 1000
MOST_SHOWN = 40


@blueprint.before_request
def only_here() -> None:
    """Copies lie on the laptop, so it alone changes them; a phone may read what stands there."""
    if request.method == "POST" and door() != "local":
        abort(403, _("Only the laptop imports copies. Open this page there."))


@blueprint.get("")
def home() -> Response:
    """What stands: the question, the copies, the second folder."""
    return _home(blank(folder=current_bench().state.setting(FOLDER)))


@blueprint.post("/now")
def now() -> Response:
    """Make a backup now."""
    act_once()
    try:
        kept = current_bench().journal.backup()
        return _said(_("Backup made: {name}", name=kept.name))
    except OSError as error:
        return _said(_("No backup was made: {why}.", why=error.strerror or error))
    except Trouble as trouble:
        return _said(trouble.say)


@blueprint.post("/folder")
def folder() -> Response:
    """Set the second folder, such as a stick."""
    form = read_form()
    named = form.text("folder", max_len=PATH_MAX)
    if named is not None and not Path(named).expanduser().is_absolute():
        form.refuse(_("Type the whole path, such as ~/backups or D:\\Backups."), "folder")
    elif named is not None and not Path(named).expanduser().is_dir():
        form.refuse(_("There is no such folder now. Plug the stick in, then save again."), "folder")
    entry = Entry("setting.changed", BENCH, {"name": FOLDER, "value": named or ""})
    if form.ok and record_all([entry], form=form, say=_("Second folder saved")):
        return go("backups.home")
    return _home(form)


@blueprint.get("/look")
def look() -> Response:
    """What a copy holds, and what taking it in would bring."""
    form = blank(copy=request.args.get("copy", "")[:PATH_MAX])
    source = _chosen(form)
    if source is None:
        return _home(form)
    try:
        seen = current_bench().journal.safe.preview(source)
    except Trouble as trouble:
        form.refuse(trouble.say, "copy")
        return _home(form)
    return page("backups/look.html", form=form, copy=str(source), seen=seen, here=len(current_bench().state.records))


@blueprint.post("/take")
def take() -> Response:
    """Take a copy in. What the bench held before is kept aside first."""
    source = _asked()
    act_once()
    try:
        with out_of_turn():  # so that each part is on the disk before it is counted
            merged = current_bench().journal.safe.take_in(source)
    except Trouble as trouble:
        return _said(trouble.say)
    said = many("{n} record imported", "{n} records imported", merged.new)
    return _said(". ".join([said, *merged.sentences]))


@blueprint.post("/without")
def without() -> Response:
    """Go on without what is missing."""
    act_once()
    current_bench().journal.safe.go_on_without()
    return _said(_("The bench continues without them. Their copies stay in backups/left."))


@blueprint.post("/back")
def back() -> Response:
    """Go back to a copy at the next opening; without one, take that back."""
    safe = current_bench().journal.safe
    act_once()
    try:
        if not request.form.get("copy"):
            safe.order_restore(None)
            return _said(_("The bench stays as it is."))
        source = _asked()
        safe.preview(source)
        safe.order_restore(source)
    except OSError as error:
        return _said(_("The disk refused: {why}.", why=error.strerror or error))
    except Trouble as trouble:
        return _said(trouble.say)
    return go("backups.home")


def _asked() -> Path:
    return or_404(_chosen(read_form()))


def _chosen(form: Form) -> Path | None:
    """The copy that was named: one of those shown, or a path that was typed at the laptop."""
    named = form.typed.get("copy", "").strip()
    source = Path(named).expanduser()
    if not named:
        form.refuse(_("Name the file first."), "copy")
    elif door() != "local" and named not in map(str, current_bench().journal.safe.all_files()):
        form.refuse(_("Only the laptop opens other files."), "copy")
    elif not source.is_absolute() or not source.exists():
        form.refuse(_("There is no such file. Type the whole path to it."), "copy")
    else:
        return source
    return None


def _said(words: str) -> Response:
    session["backups_said"] = words[:600]
    return go("backups.home")


def _home(form: Form) -> Response:
    safe = current_bench().journal.safe
    named, there, holds = safe.second_folder()
    return page(
        "backups/home.html",
        form=form,
        said=session.pop("backups_said", None),
        question=safe.shortfall,
        copies=[_row(path) for path in list(safe.all_files())[:MOST_SHOWN]],
        ordered=safe.ordered,
        second=(named, there, holds),
        records=len(current_bench().state.records),
        trouble=safe.trouble,
        at_home=door() == "local",
    )


def _row(path: Path) -> dict[str, Any]:
    held = current_bench().journal.safe.backups.holding(path)
    return {"path": str(path), "name": path.name, "records": held.records, "newest_ms": held.newest_ms}
