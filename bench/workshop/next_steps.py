"""What comes next for each thing that is under way, as one verb and one sentence."""

from dataclasses import dataclass

from bench.records.state import State
from bench.steps import STEPS
from bench.steps.judging import due, fill
from bench.translation import _
from bench.workshop.facts import look_on
from bench.workshop.things.batches import batch
from bench.workshop.things.charges import Charge, charge
from bench.workshop.things.firings import firing
from bench.workshop.things.pigments import Pigment, pigment


@dataclass(frozen=True)
class NextStep:
    """One step to take: the verb, the thing it is taken on, and what it is called on the screen."""

    verb: str
    thing: str
    what: str
    title: str
    name: str
    code: str | None


def batch_step(state: State, thing: str) -> NextStep | None:
    """The next step of a batch itself; None when nothing is left to be done with it."""
    view = batch(state, thing)
    return None if view is None else _declared(state, thing, view.name, view.code)


def _declared(state: State, thing: str, name: str, code: str | None) -> NextStep | None:
    """The first declared step that is due on a thing."""
    return next(iter(_all_declared(state, thing, name, code, optional=False)), None)


def _all_declared(state: State, thing: str, name: str, code: str | None, optional: bool) -> list[NextStep]:
    sort, look = state.kind_of[thing], look_on(state, thing)
    found = due(STEPS, sort, look, optional)
    return [NextStep(step.verb, thing, sort, fill(title, look, _), name, code) for step, title in found]


def charge_step(state: State, thing: str) -> NextStep | None:
    """The next step of a charge; None once it is opened or lost."""
    view = charge(state, thing)
    if view is None:
        return None
    name = _charge_name(state, view)
    return _declared(state, thing, name, view.crucible_code) or _in_furnace(state, view, name)


def _charge_name(state: State, view: Charge) -> str:
    plans = [state.slot(b, "batch.planned").body for b in view.batches]
    return " + ".join(p.name for p in plans if p is not None) or _("Charge")


def _in_furnace(state: State, view: Charge, name: str) -> NextStep | None:
    """What stands in a furnace, or waits there for the fire, leads to its firing."""
    titles = {"placed": _("Light the furnace"), "in-heat": _("In the furnace")}
    if view.stay is None or view.state not in titles:
        return None
    fire = firing(state, view.stay.firing)
    if fire is not None and fire.fuel == "electric":
        titles["placed"] = _("Switch the furnace on")
    return NextStep("fire", view.stay.firing, "firing", titles[view.state], name, view.crucible_code)


def pigment_step(state: State, thing: str) -> NextStep | None:
    """The next step of a fired powder; None once it is kept, put by or thrown away."""
    view = pigment(state, thing)
    if view is None:
        return None
    return _declared(state, thing, _pigment_name(state, view), view.code)


def optional_steps(state: State, thing: str) -> list[NextStep]:
    """The steps that are offered beside the next one and never are it."""
    return _all_declared(state, thing, "", state.code_of(thing), optional=True)


def _pigment_name(state: State, view: Pigment) -> str:
    views = [charge(state, c) for c in view.charges]
    return next((_charge_name(state, v) for v in views if v is not None), _("Pigment"))


def firing_step(state: State, thing: str) -> NextStep | None:
    """The next step of a firing; None once it is closed."""
    view = firing(state, thing)
    return None if view is None else _declared(state, thing, view.name, view.code)
