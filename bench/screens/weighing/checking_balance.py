"""A dated check of the balance: what it shows of a check weight."""

from flask import Blueprint, Response

from bench.records.record import BENCH
from bench.web.current import current_bench
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, page
from bench.web.recording import record
from bench.web.words import _
from bench.workshop.checked import BALANCE, checked

blueprint = Blueprint("checking_balance", __name__)

MOST_G = 100_000.0


@blueprint.get("/balance/check")
def ask() -> Response:
    """Ask what the balance shows of a check weight."""
    return _ask(blank())


def _ask(form: Form) -> Response:
    return page("weigh/check_balance.html", form=form, last=say_balance())


@blueprint.post("/balance/check")
def keep() -> Response:
    """Record the check with its date."""
    form = read_form()
    true_g = form.number("true_g", low=0.001, high=MOST_G, unit="g")
    shown_g = form.number("shown_g", low=0, high=MOST_G, unit="g")
    data = {"name": BALANCE, "value": {"how": "check-weight", "true": true_g, "shown": shown_g}}
    if form.ok and record("setting.changed", BENCH, data, form=form, say=_("Balance checked")):
        return go("settings.show")
    return _ask(form)


def say_balance() -> str:
    """The last check of the balance in a few words."""
    last = checked(current_bench().state, BALANCE)
    if last is None:
        return _("never")
    day = last.when.strftime("%Y-%m-%d")
    return _("{day}: {true:g} g shown as {shown:g} g", day=day, true=last.true, shown=last.shown)
