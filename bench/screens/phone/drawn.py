"""What a phone draws by itself: the empty page for it, the facts of things, and what to mind at each step on them.

Facts are told by the names of the declarations (`bench/steps`); a phone folds over them what waits in its outbox. No
sentence about a thing is told: each is worked out on the phone from facts, or not shown.
"""

from collections.abc import Iterable
from typing import Any

from flask import Blueprint, Response

from bench.reckoning.rules import Part
from bench.records.state import State
from bench.screens.kit.cautioning import cautions
from bench.screens.phone.steps_file import steps_url
from bench.steps import STEPS
from bench.web.current import bench
from bench.web.page import page
from bench.workshop.digits import places_of, readability_g
from bench.workshop.facts import facts
from bench.workshop.parts import batch_parts, charge_parts
from bench.workshop.things.batches import Batch
from bench.workshop.things.crucibles import earlier_charges

blueprint = Blueprint("drawn", __name__)

PATH = "/drawn"
MOST_DRAWN = 60
DRAWN = ("pigment", "swatch")
"""The sorts of things whose pages a phone draws: they are made and worked on far from the laptop."""
Foot = dict[str, str]


@blueprint.get(PATH)
def show() -> Response:
    """The page that is empty until the phone draws on it."""
    return page("offline/drawn.html")


def drawn_told(charges: Iterable[str]) -> dict[str, Any]:
    """The facts of what is under way, with the cautions of its steps; `charges` are those that the phone knows."""
    state = bench().state
    powders = [one for what in DRAWN for one in state.open_things(what)[-MOST_DRAWN:]]
    known = [*powders, *charges, *state.open_things("waste")[-MOST_DRAWN:]]
    told = {one: found for one in known if (found := facts(state, one)) is not None}
    feet = {one: _feet(state, one) for one in (*powders, *charges)}
    minded = {rule: [each.say for each in cautions(rule, [], bench().library).rest] for rule in rules_asked()}
    defer = cautions(next(iter(minded)), [], bench().library).defer
    places = places_of(readability_g(state))
    rules = {step.verb: step.rules[0] for step in STEPS if step.rules}
    foot = {"feet": feet, "rest": minded, "rules": rules, "defer": defer}
    return {"url": steps_url(), "facts": told, "places": places, **foot}


def drawn_ahead(view: Batch, free: Iterable[str]) -> dict[str, Any]:
    """The same of the next fillings of a batch, whose ids are kept free for this phone."""
    salty = any(line.plan.fate == "washed-out" for line in view.lines)
    new = {"sort": "charge", "of": view.name, "salty": salty, "ended": False, "in_heat": False}
    feet = _foot(batch_parts(bench().state, view.id))
    return {"facts": {one: new | {"id": one} for one in free}, "feet": dict.fromkeys(free, feet)}


def rules_asked() -> list[str]:
    """The rules' names for the steps that are drawn."""
    steps = (step for step in STEPS if step.away and set(step.on) & set(DRAWN))
    return list(dict.fromkeys(step.rules[0] for step in steps if step.rules))


def _feet(state: State, thing: str) -> Foot:
    """What stands first at the foot of each step on a thing, or on what comes out of a charge."""
    return state.once(("feet", thing, bench().library.revision), lambda: _worked_feet(state, thing))


def _worked_feet(state: State, thing: str) -> Foot:
    charges = [thing] if state.sort_of(thing) == "charge" else earlier_charges(state, thing)
    return _foot([part for one in charges for part in charge_parts(state, one)])


def _foot(parts: list[Part]) -> Foot:
    found = {rule: cautions(rule, parts, bench().library) for rule in rules_asked()}
    return {rule: " ".join(filter(None, (one.signal, one.first))) for rule, one in found.items()}
