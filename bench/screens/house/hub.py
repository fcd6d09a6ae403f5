"""Hub: the database of a school or a group. A thread of its own speaks with it; these pages show what is known."""

from flask import Blueprint, Response, abort, session

from bench.exporting.shared import shared_ids
from bench.journal.hub.address import read_address, read_certificate
from bench.science.refusal import Refusal
from bench.web.channel import door
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, page
from bench.web.turns import act_once
from bench.web.words import _

blueprint = Blueprint("hub", __name__, url_prefix="/backups/hub")

LONGEST, PASSWORD_MAX = 400, 200


@blueprint.before_request
def only_here() -> None:
    """The way into the hub lies beside the laptop, so it alone changes it."""
    if door() != "local":
        abort(403, _("Only the laptop reaches the hub. Open this page there."))


@blueprint.get("")
def show() -> Response:
    """Whether there is a hub, and what is known of it."""
    return _show(blank())


@blueprint.post("")
def connect() -> Response:
    """Connect the bench to a hub, and look at it."""
    form = read_form()
    typed = {name: form.text(name, max_len=LONGEST) or "" for name in ("address", "login", "certificate")}
    form.text("password", max_len=PASSWORD_MAX)  # judged only: a password is taken to the letter
    password = form.typed.pop("password", "")  # never shown again
    if not form.ok:
        return _show(form)
    try:
        proof = read_certificate(typed["certificate"]) if typed["certificate"] else None
        address = read_address(typed["address"], typed["login"], password)
        current_bench().journal.hub.connect(address, proof)
    except Refusal as refusal:
        form.refuse(refusal)
    except OSError as error:
        form.refuse(_("The disk refused: {why}.", why=error.strerror or error))
    if not form.ok:
        return _show(form)
    return _asked("look", _("Hub saved"))


@blueprint.post("/look")
def look() -> Response:
    """Ask the hub what each side lacks."""
    return _asked("look")


@blueprint.post("/now")
def now() -> Response:
    """Bring both together."""
    return _asked("bring")


@blueprint.post("/share")
def share() -> Response:
    """Let all workshops of the hub read one batch."""
    form = read_form()
    if current_bench().journal.hub.address is None:
        return go("hub.show")
    code = form.code("code")
    if code is not None:
        with form.beside("code"):
            ids = shared_ids(current_bench().state, code)
    if not form.ok:
        return _show(form)
    act_once()
    current_bench().journal.hub.ask("share", ids)
    return go("hub.show")


@blueprint.post("/without")
def disconnect() -> Response:
    """Forget the hub."""
    act_once()
    current_bench().journal.hub.disconnect()
    session["hub_said"] = _("The bench has no hub now. Records that came from it stay.")
    return go("hub.show")


def _asked(what: str, said: str | None = None) -> Response:
    act_once()
    if said:
        session["hub_said"] = said
    current_bench().journal.hub.ask(what)
    return go("hub.show")


def _show(form: Form) -> Response:
    hub = current_bench().journal.hub
    return page(
        "backups/hub.html",
        form=form,
        said=session.pop("hub_said", None),
        connected=hub.address is not None,
        told=hub.told,
        read=bool(hub.borrowed.workshops()),
    )
