"""Bring together: this bench and a folder that others write to as well, looked at first, both ways."""

from pathlib import Path

from flask import Blueprint, Response, abort, request, session

from bench.journal import Trouble
from bench.journal.shared_folder import SharedFolder
from bench.journal.syncing import Difference
from bench.records.record import BENCH
from bench.web.channel import door
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, page
from bench.web.recording import Entry, record_all
from bench.web.turns import act_once, out_of_turn
from bench.web.words import _

blueprint = Blueprint("sharing", __name__, url_prefix="/backups/shared")

SETTING = "shared_folder"
PATH_MAX = 1000


@blueprint.before_request
def only_here() -> None:
    """The folder lies beside the laptop, so it alone reads and writes there."""
    if door() != "local":
        abort(403, _("Only the laptop can share a folder. Open this page there."))


@blueprint.get("")
def show() -> Response:
    """The folder that is shared, and what each side lacks."""
    return _show(blank(folder=current_bench().state.setting(SETTING)))


@blueprint.post("")
def keep() -> Response:
    """Set the folder."""
    form = read_form()
    named = form.text("folder", max_len=PATH_MAX)
    if named is not None and not Path(named).expanduser().is_absolute():
        form.refuse(_("Type the whole path, such as ~/shared or D:\\Shared."), "folder")
    elif named is not None and not Path(named).expanduser().is_dir():
        form.refuse(_("There is no such folder now. Plug the stick in, then save again."), "folder")
    entry = Entry("setting.changed", BENCH, {"name": SETTING, "value": named or ""})
    if form.ok and record_all([entry], form=form, say=_("Shared folder saved")):
        return go("sharing.show")
    return _show(form)


@blueprint.post("/now")
def now() -> Response:
    """Bring both together."""
    folder = current_bench().journal.shared_folder()
    if folder is None or not folder.is_dir():
        return go("sharing.show")
    act_once()
    journal = current_bench().journal
    try:
        with out_of_turn():  # so that each part is on the disk, here and there, before the next
            done = journal.syncing.sync(SharedFolder(folder, journal.device))
            journal.safe.look()
    except OSError as error:
        session["shared_said"] = _("The folder refused: {why}.", why=error.strerror or error)
    except Trouble as trouble:
        session["shared_said"] = trouble.say
    else:
        said = _(
            "Copied here: {here} records, {photos} photos or files. Copied there: {there} records, {sent} "
                "photos or files.",
            here=done.new_here, photos=done.photos_here, there=done.new_there, sent=done.photos_there,
        )  # fmt: skip
        session["shared_said"] = " ".join([said, *done.sentences])[:600]
    return go("sharing.show")


def _show(form: Form) -> Response:
    folder = current_bench().journal.shared_folder()
    seen: Difference | None = None
    if folder is not None and folder.is_dir() and request.method == "GET":
        try:
            with out_of_turn():
                seen = current_bench().journal.syncing.preview(SharedFolder(folder, current_bench().journal.device))
        except OSError as error:
            form.refuse(_("The folder cannot be read: {why}.", why=error.strerror or error), "folder")
    return page(
        "backups/shared.html", form=form, said=session.pop("shared_said", None), folder=folder, seen=seen,
    )  # fmt: skip
