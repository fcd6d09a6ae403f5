"""Cooling: what was planned for this one, before the door is opened; and the reading that clears *too hot to touch*."""

from flask import Blueprint, Response, request

from bench.screens.cautioning import cautions
from bench.screens.charge import COOLINGS, SURE, charge_or_404
from bench.screens.forms import Form, blank, read_form
from bench.screens.joined import bench
from bench.screens.page import go, page
from bench.screens.recording import record
from bench.screens.words import _
from bench.workshop.gates import gate_out
from bench.workshop.parts import charge_parts
from bench.workshop.things.charges import COOL_C, Charge

blueprint = Blueprint("cool", __name__)


@blueprint.get("/charge/<thing>/cool")
def show(thing: str) -> Response:
    """How this charge is cooled, and whether it may be touched."""
    return _show(charge_or_404(thing), blank())


def _show(view: Charge, form: Form) -> Response:
    here = bench()
    inside = view.state == "in-heat"
    return page(
        "cool/show.html",
        form=form,
        view=view,
        cooling=COOLINGS[view.cooling_mode],
        sure=view.cooling_basis in SURE,
        inside=inside,
        limit=COOL_C,
        findings=gate_out(here.state, view.id, here.library) if inside else [],
        foot=cautions("open", charge_parts(here.state, view.id), here.library),
    )


@blueprint.post("/charge/<thing>/cool")
def keep(thing: str) -> Response:
    """Keep a reading of this very thing."""
    view = charge_or_404(thing)
    form = read_form()
    c = form.number("surface_c", low=-40, high=1500, unit="°C")
    if c is not None and form.ok:
        data = {"thing": thing, "surface_c": c}
        if record("touched", thing, data, form=form, say=_("{c:g} °C on it", c=c)):
            cold = c < COOL_C and request.form.get("stay") != "1"
            return go("charge.show" if cold else "cool.show", thing=thing)
    return _show(view, form)
