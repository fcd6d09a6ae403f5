"""What a phone draws by itself: the empty page for it, the facts of things, and what to mind at each step on them.

Facts are told by the names of the declarations (`bench/steps`); a phone folds over them what waits in its outbox. No
sentence about a thing is told: each is worked out on the phone from facts, or not shown.
"""

from collections.abc import Iterable
from typing import Any

from flask import Blueprint, Response

from bench.reckoning.rules import Part
from bench.records.state import State
from bench.screens.furnace.firing import PHASES
from bench.screens.kit.cautioning import cautions
from bench.screens.phone.minded import of_batch as minded_batch
from bench.screens.phone.minded import of_charge as minded_charge
from bench.screens.phone.minded import of_powder as minded_powder
from bench.screens.phone.minded import told_vessels
from bench.screens.phone.offers import offers_told
from bench.screens.phone.steps_file import steps_url
from bench.screens.phone.told import dust_told, jars_told
from bench.steps import STEPS
from bench.steps.close import ENDS
from bench.steps.published import plain
from bench.web.current import current_bench
from bench.web.page import page
from bench.web.words import _
from bench.workshop.digits import places_of, readability_g
from bench.workshop.facts import facts
from bench.workshop.parts import batch_parts, charge_parts
from bench.workshop.things.charges import charge
from bench.workshop.things.crucibles import earlier_charges

blueprint = Blueprint("drawn", __name__)

PATH = "/drawn"
MOST_DRAWN = 60
MOST_MINDED = 24
"""Of so many powders the rules are told along; of others a phone says that the laptop judges them."""
KEYS_ALONE = ("light",)
"""The steps that have no page of their own."""
OF_FIRING = ("", "/watch", "/hands", "/close", *(f"/checks/{phase}" for phase in PHASES))
"""The pages of a firing beside those of its declared steps."""
Foot = dict[str, str]


@blueprint.get(PATH)
def show() -> Response:
    """The page that is empty until the phone draws on it."""
    return page("offline/drawn.html")


def powders() -> list[str]:
    """The powders and swatches that a phone is told of: what something open refers to last, also where it is put by."""
    state = current_bench().state
    return state.memoize("powders-told", lambda: _powders(state))


def _powders(state: State) -> list[str]:
    swatches = state.open_things("swatch")[-MOST_DRAWN:]
    painted = [state.slot(one, "swatch.made").body.pigment for one in swatches]
    charges = [charge(state, one) for one in state.open_things("charge")]
    loaded = [source.pigment for one in charges if one is not None for source in one.charged.sources]
    wanted = [one for one in (*painted, *loaded) if one is not None and state.exists(one)]
    return [*_newest(state.open_things("pigment"), wanted), *swatches]


def jars() -> list[str]:
    """The jars that a phone is told of, those that an open batch takes from last."""
    state = current_bench().state
    return state.memoize("jars-told", lambda: _jars(state))


def _jars(state: State) -> list[str]:
    plans = [state.slot(one, "batch.planned").body for one in state.open_things("batch")]
    taken = [line.jar for plan in plans if plan is not None for line in plan.lines]
    return _newest(state.open_things("jar"), [one for one in taken if one is not None and state.exists(one)])


def _newest(found: list[str], wanted: list[str]) -> list[str]:
    """So many as a phone is told of: those that are wanted at the end, before them the newest of the others."""
    last = list(dict.fromkeys(wanted))
    return [*(one for one in found if one not in set(last)), *last][-MOST_DRAWN:]


def vessels() -> list[str]:
    """The waste containers and crucibles that a phone is told of."""
    return [one for what in ("waste", "crucible") for one in current_bench().state.open_things(what)[-MOST_DRAWN:]]


def facts_told() -> dict[str, Any]:
    """The facts of what has no list of its own: powders, swatches, waste, crucibles and jars."""
    state = current_bench().state
    known = [*powders(), *vessels()]
    told = {one: found for one in known if (found := facts(state, one)) is not None}
    for one, found in told.items():
        if found["sort"] == "pigment":
            told[one] = found | {"dust": dust_told(one)}
    return told | jars_told(jars())


def drawn_told(charges: Iterable[str]) -> dict[str, Any]:
    """What to mind with things under way, and how the phone's own pages are made; `charges` are those that it knows."""
    state = current_bench().state
    feet = {one: _feet(state, one) for one in (*powders(), *charges)}
    minded = {rule: [each.say for each in cautions(rule, []).rest] for rule in rules_asked()}
    defer = cautions(next(iter(minded)), []).defer
    rules = {step.verb: step.rules[0] for step in STEPS if step.rules}
    foot = {"feet": feet, "rest": minded, "rules": rules, "defer": defer}
    minds = {one: minded_charge(one) for one in charges}
    pigments = [one for one in powders() if state.sort_of(one) == "pigment"]
    minds |= {one: minded_powder(one) for one in pigments[-MOST_MINDED:]}
    ends = {sort: plain(found, _) for sort, found in ENDS.items()}
    more = {"minds": minds, "ends": ends, "offers": offers_told(state)}
    return {"url": steps_url(), "places": places_of(readability_g(state)), **more, **foot}


def drawn_of_batch(thing: str) -> dict[str, Any]:
    """The same of a batch: what is filled from it out there is minded in the same way."""
    state = current_bench().state
    feet = state.memoize(("feet", thing, current_bench().library.revision), lambda: _foot(batch_parts(state, thing)))
    return {"feet": {thing: feet}, "minds": {thing: minded_batch(thing, told_vessels(state, MOST_DRAWN))}}


def pages_of(things: Iterable[str]) -> list[str]:
    """The pages of some things that a phone draws: each one's own, and those of its steps."""
    return [page for one in things for page in _pages(one)]


def _pages(thing: str) -> list[str]:
    sort = str(current_bench().state.sort_of(thing))
    here = f"{{{sort}}}"
    steps = [step for step in STEPS if step.away and step.verb not in KEYS_ALONE]
    found = [address.replace(here, thing) for step in steps for address in step.address if here in address]
    own = [f"/firing/{thing}{page}" for page in OF_FIRING] if sort == "firing" else [f"/{sort}/{thing}"]
    own += [f"/weigh/jar/{thing}"] if sort == "jar" else []
    return [*dict.fromkeys([*own, *(address for address in found if "{" not in address)])]


def rules_asked() -> list[str]:
    """The rules' names for the steps that are drawn."""
    return list(dict.fromkeys(step.rules[0] for step in STEPS if step.away and step.rules))


def _feet(state: State, thing: str) -> Foot:
    """What stands first at the foot of each step on a thing, or on what comes out of a charge."""
    return state.memoize(("feet", thing, current_bench().library.revision), lambda: _worked_feet(state, thing))


def _worked_feet(state: State, thing: str) -> Foot:
    charges = [thing] if state.sort_of(thing) == "charge" else earlier_charges(state, thing)
    return _foot([part for one in charges for part in charge_parts(state, one)])


def _foot(parts: list[Part]) -> Foot:
    found = {rule: cautions(rule, parts) for rule in rules_asked()}
    return {rule: " ".join(filter(None, (one.signal, one.first))) for rule, one in found.items()}
