"""A dated check of a furnace's probe: against a second probe, a cone or a melting point."""

from flask import Blueprint, Response

from bench.records.record import BENCH
from bench.web.current import current_bench
from bench.web.existing import existing
from bench.web.forms import Form, blank, read_form
from bench.web.page import go, page
from bench.web.recording import record
from bench.web.words import _
from bench.workshop.checked import Checked, checked, probe_name

blueprint = Blueprint("checking_probe", __name__)

HOWS = {
    "second-probe": _("A second probe"),
    "cone": _("A cone"),
    "melt": _("A melting point"),
}
HOTTEST_C = 2000.0


@blueprint.get("/furnace/<thing>/check")
def ask(thing: str) -> Response:
    """Ask what the probe showed against what it should have."""
    return _ask(thing, blank(how="second-probe"))


def _ask(thing: str, form: Form) -> Response:
    state = current_bench().state
    furnace = state.slot(thing, "furnace.described").body
    view = existing(furnace or state.slot(thing, "burner.described").body, thing)
    last = checked(state, probe_name(thing))
    return page(
        "furnaces/check.html", form=form, thing=thing, view=view, hows=HOWS, last=say_probe(last), probe=bool(furnace)
    )


@blueprint.post("/furnace/<thing>/check")
def keep(thing: str) -> Response:
    """Record the check with its date."""
    existing(current_bench().state.slot(thing, "furnace.described").body, thing)
    form = read_form()
    how = form.choice("how", HOWS)
    true_c = form.number("true_c", low=0, high=HOTTEST_C, unit="°C")
    shown_c = form.number("shown_c", low=0, high=HOTTEST_C, unit="°C")
    data = {"name": probe_name(thing), "value": {"how": how, "true": true_c, "shown": shown_c}}
    if form.ok and record("setting.changed", BENCH, data, form=form, say=_("Probe checked")):
        return go("furnaces.one", thing=thing)
    return _ask(thing, form)


def say_probe(last: Checked | None) -> str:
    """The last check of a probe in a few words."""
    if last is None:
        return _("never")
    return _(
        "{day}, {how}: {off:+.0f} °C", day=last.when.strftime("%Y-%m-%d"), how=HOWS.get(last.how, ""), off=last.off
    )
