"""The balance on the laptop's serial port: how it prints, its last lines, and what it shows this moment."""

from typing import Any, NamedTuple

from flask import Blueprint, Response, current_app, jsonify

from bench.records.record import BENCH
from bench.science.refusal import Refusal
from bench.screens.furnace.firing_port import NAME
from bench.web.channel import door
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, page
from bench.web.recording import record
from bench.web.words import _
from bench.workshop.balance import BAUDS, SETTING, Heard, as_setting, cabled
from bench.workshop.logger.balance_lines import MARK_MAX, PATTERN_MAX, PLAIN, Printing, check_pattern

blueprint = Blueprint("balance", __name__)

OLD_S, OLD_PRINTED_S = 4.0, 60.0
"""A weight counts as on the balance for so long after its line; longer where it prints at a key alone (own default)."""


class Now(NamedTuple):
    """What the balance shows this moment. `say` is short, `why` a sentence where it may not be taken."""

    number: int
    shown: str
    taken: bool
    say: str
    why: str
    on_key: bool


@blueprint.get("/balance/now")
def now() -> Response:
    """What stands on the balance, in a few bytes: asked twice a second by a page that weighs, and by no other."""
    heard, old_s = _heard()
    answer = jsonify(_now(heard, old_s)._asdict() | {"lines": [one._asdict() for one in _lines(heard)]})
    answer.headers["Cache-Control"] = "no-store"
    return answer


class Shown(NamedTuple):
    """A line of the preview, and how it is read."""

    text: str
    read: str


def _lines(heard: Heard) -> list[Shown]:
    return [Shown(one.text, f"{one.shown} g" if one.shown else _(one.say)) for one in heard.lines]


def _heard() -> tuple[Heard, float]:
    found: tuple[Heard, float] = current_app.extensions["balance"].heed(cabled(current_bench().state))
    return found


def _now(heard: Heard, old_s: float) -> Now:
    set_to = cabled(current_bench().state)
    on_key = set_to is not None and set_to.printing.steady_only
    old = old_s > (OLD_PRINTED_S if on_key else OLD_S)
    short, why = _why_not(heard, old_s if old else None)
    return Now(heard.count, "" if old else heard.shown, not why, short or _("steady"), why, on_key)


def _why_not(heard: Heard, old_s: float | None) -> tuple[str, str]:
    """Why the weight is not taken, in short and as a sentence; empty where it may be. `old_s`: so old, if too old."""
    if heard.trouble or heard.say:
        return (_(heard.trouble or heard.say),) * 2
    if not heard.is_open:
        return (_("The port of the balance is being opened."),) * 2
    if not heard.count:
        return (_("The balance has sent nothing yet. Press its print key."),) * 2
    if old_s is not None:
        return (_("The balance has sent nothing for {n:.0f} s. Press its print key.", n=old_s),) * 2
    if not heard.steady:
        return _("moving"), _("The weight is moving. Wait until it is steady.")
    return ("", "") if float(heard.shown) else (_("empty"), _("Nothing is on the balance."))


@blueprint.get("/balance")
def show() -> Response:
    """The balance as it is set, and the last lines that came."""
    set_to = cabled(current_bench().state)
    if set_to is None:
        return _show(blank(baud=BAUDS[0], pattern=PLAIN))
    how = set_to.printing
    kept = as_setting(set_to.port, set_to.baud, how)
    return _show(blank(**{name: str(value) for name, value in kept.items() if name != "steady_only"},
                       steady_only="1" if how.steady_only else ""))  # fmt: skip


def _show(form: Form) -> Response:
    heard, old_s = _heard()
    return page(
        "weigh/balance.html",
        form=form,
        set_to=cabled(current_bench().state),
        now=_now(heard, old_s),
        lines=_lines(heard),
        ports=[name for name, _words in current_app.extensions["balance"].ports()],
        bauds=[(one, one) for one in BAUDS],
        here=door() == "local",
    )


@blueprint.post("/balance")
def keep() -> Response:
    """Keep how the balance prints. Only at the laptop itself, whose port it is."""
    form = read_form()
    if door() != "local":
        form.refuse(_("The port is on the laptop: set it there."))
        return _show(form)
    value = _read(form)
    said = _("Balance on {port}", port=value["port"]) if value["port"] else _("No balance on a cable")
    data = {"name": SETTING, "value": value}
    if form.ok and record("setting.changed", BENCH, data, form=form, say=said):
        return go("balance.show")
    return _show(form)


def _read(form: Form) -> dict[str, Any]:
    port = form.text("port", max_len=90) or ""
    if port and not NAME.fullmatch(port):
        form.refuse(_("Type the port, such as /dev/ttyUSB0 or COM3."), "port")
    baud = form.choice("baud", BAUDS)
    pattern = form.text("pattern", max_len=PATTERN_MAX) or ""
    try:
        pattern = check_pattern(pattern)
    except Refusal as refusal:
        form.refuse(_(refusal.say), "pattern")
    steady, moving = (form.text(name, max_len=MARK_MAX) or "" for name in ("steady", "moving"))
    if steady and steady == moving:
        form.refuse(_("The two marks are the same. A moving weight must look different."), "moving")
    return as_setting(port, int(baud or 0), Printing(pattern, steady, moving, form.flag("steady_only")))
