"""What comes next for each thing that is under way, as one verb and one sentence."""

from dataclasses import dataclass

from bench.records.state import State
from bench.steps import STEPS
from bench.steps.judging import due, fill
from bench.translation import _
from bench.workshop.facts import look_on
from bench.workshop.things.batches import batch
from bench.workshop.things.charges import Charge, charge
from bench.workshop.things.firings import Firing, firing
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
    return _declared(state, thing, name, view.crucible_code) or _of_charge(view, name)


def _charge_name(state: State, view: Charge) -> str:
    plans = [state.slot(b, "batch.planned").body for b in view.batches]
    return " + ".join(p.name for p in plans if p is not None) or "Charge"


def _of_charge(view: Charge, name: str) -> NextStep | None:
    def step(verb: str, title: str, thing: str = view.id, what: str = "charge") -> NextStep:
        return NextStep(verb, thing, what, _(title), name, view.crucible_code)

    stay = view.stay
    match view.state:
        case "placed" if stay is not None:
            return step("fire", "Light the furnace", stay.firing, "firing")
        case "in-heat" if stay is not None:
            return step("fire", "In the furnace", stay.firing, "firing")
    return None


def pigment_step(state: State, thing: str) -> NextStep | None:
    """The next step of a fired powder; None once it is kept, put by or thrown away."""
    view = pigment(state, thing)
    if view is None:
        return None
    name = _pigment_name(state, view)
    return _declared(state, thing, name, view.code) or _of_pigment(view, name)


def optional_steps(state: State, thing: str) -> list[NextStep]:
    """The steps that are offered beside the next one and never are it."""
    return _all_declared(state, thing, "", state.code_of(thing), optional=True)


def _pigment_name(state: State, view: Pigment) -> str:
    views = [charge(state, c) for c in view.charges]
    return next((_charge_name(state, v) for v in views if v is not None), "Pigment")


def _of_pigment(view: Pigment, name: str) -> NextStep | None:
    def step(verb: str, title: str, thing: str = view.id, what: str = "pigment") -> NextStep:
        return NextStep(verb, thing, what, _(title), name, view.code)

    match view.state:
        case "make-up":
            return step("plan", "Plan the make-up")
    return None


def firing_step(state: State, thing: str) -> NextStep | None:
    """The next step of a firing; None once it is closed."""
    view = firing(state, thing)
    return None if view is None else _of_firing(view)


def _of_firing(view: Firing) -> NextStep | None:
    titles: dict[str, tuple[str, str]] = {
        "planned": ("fire", "Check, then light"),
        "checked": ("fire", "Light"),
        "lit": ("fire", "Heating"),
        "soaking": ("fire", "Holding"),
        "off": ("after-checks", "Checks after the fire"),
        "after-checks": ("after-checks", "Checks after the fire"),
    }
    if view.state not in titles:
        return None
    verb, title = titles[view.state]
    return NextStep(verb, view.id, "firing", _(title), view.name, view.code)
