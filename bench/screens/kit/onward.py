"""After a record: straight to the form of the step that is due next on the same thing, else to the thing's own page."""

from flask import Response, make_response, redirect

from bench.screens.kit.steps import step_path, thing_path
from bench.web.current import current_bench
from bench.web.forms import Form
from bench.workshop.next_steps import NextStep, batch_step, charge_step, firing_step, pigment_step

OF = {"batch": batch_step, "charge": charge_step, "firing": firing_step, "pigment": pigment_step}


def next_of(thing: str) -> NextStep | None:
    """The step that is due next on a thing; None where none is."""
    state = current_bench().state
    look = OF.get(state.kind_of.get(thing, ""))
    return look(state, thing) if look is not None else None


def onward(form: Form, thing: str, *verbs: str, home: str = "") -> Response:
    """On by 303 to the next step's form where it is one of these, else `home`; so after what was entered late."""
    step = next_of(thing) if form.happened_ms is None else None
    if step is not None and step.verb in verbs:
        return make_response(redirect(step_path(step), 303))
    return make_response(redirect(home or thing_path(current_bench().state.kind_of.get(thing), thing), 303))
