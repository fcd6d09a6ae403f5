"""What a phone is told of each thing under way, as data: it lays over it what happened on it since."""

from collections.abc import Iterable
from typing import Any

from bench.records.moments import to_ms
from bench.science.formulas import pretty
from bench.science.thermocouples import reference_of
from bench.screens.furnace.curves import MINUTE_MS, Table, planned_points, read_points, thinned
from bench.screens.furnace.firing_reading import letter_of
from bench.screens.furnace.firing_view import gasses_late
from bench.screens.furnace.placing import Spot, spots
from bench.screens.kit.cautioning import cautions
from bench.screens.kit.names import reagent_name
from bench.screens.loading.charge import COOLINGS, OUTSIDE, SURE
from bench.screens.phone.lists import item_told, lists_told
from bench.screens.planning.heat import FIRM
from bench.screens.weighing.weigh_line import line_part
from bench.screens.weighing.weighing import WeighTarget, aims
from bench.web.current import current_bench
from bench.workshop import snapshot
from bench.workshop.alarms import limit_c, ramp_told
from bench.workshop.asked import of_dust
from bench.workshop.conditions import CO_EXPIRES, PULLS_BY, hot_pull_planned
from bench.workshop.facts import facts
from bench.workshop.gates import chamber_hot
from bench.workshop.learning import learnt
from bench.workshop.things.batches import Batch
from bench.workshop.things.charges import charge
from bench.workshop.things.firings import Firing

NEWEST = 400


def told_batch(view: Batch) -> dict[str, Any] | None:
    """A batch, with the names and places of its lines as this bench weighs them."""
    found = aims(current_bench().state, current_bench().library, view)
    within = found[0].within_g if found else 0.0
    told = snapshot.of_batch(
        current_bench().state,
        view.id,
        current_bench().library,
        {aim.number: aim.name for aim in found},
        within,
        current_bench().now(),
    )
    if told is None:
        return None
    cooling = cooling_told(view.plan.cooling_mode, view.plan.cooling_basis in FIRM)
    for line, aim in zip(told["lines"], found, strict=True):
        line |= _on_balance(aim)
    told |= {"places": found[0].places if found else 2, "cooling": cooling, "dust": dust_told(view.id)}
    told |= {"hot_pull": view.plan.hot_pull and view.plan.cooling_basis in PULLS_BY}
    return told | {"lists": lists_told(view.id, snapshot.LISTS["batch"])}


def cooling_told(mode: str, sure: bool) -> list[Any]:
    """How a charge is to be cooled, in words; whether that is sure; whether it is still to be done once it is out."""
    return [str(COOLINGS[mode]), sure, mode in OUTSIDE]


def _on_balance(aim: WeighTarget) -> dict[str, Any]:
    """What the page of a line says of its jar and its dangers; `span` is what may be right, as shares of the target."""
    foot = cautions("weigh", [line_part(aim)])
    span = [g / aim.target_g for g in aim.span_g] if aim.span_g and aim.target_g else None
    return {
        "formula": aim.formula,
        "jar_code": aim.jar.code if aim.jar is not None else None,
        "jar_left_g": aim.jar.left_g if aim.jar is not None else None,
        "span": span,
        "signs": list(foot.signs),
        "foot": " ".join(filter(None, (foot.signal, foot.first))),
    }


def dust_told(thing: str) -> list[dict[str, Any]]:
    """What is to be answered where powder that harms for life is moved dry, and when it was answered well."""
    here = current_bench()
    return [
        item_told(one) | {"done_ms": to_ms(one.answered.when) if one.good and one.answered is not None else None}
        for one in of_dust(here.state, here.library, thing, here.now())
    ]


def jars_told(jars: Iterable[str]) -> dict[str, Any]:
    """Some jars by their ids: what is said of one that is not the jar that is asked for."""
    state, library = current_bench().state, current_bench().library
    found = {one: told for one in jars if (told := facts(state, one)) is not None}
    return {
        one: told | {"name": reagent_name(told["name"], library), "shown": pretty(told["formula"])}
        for one, told in found.items()
    }


def charges_told(charges: Iterable[str]) -> dict[str, Any]:
    """Some charges by their ids."""
    return {one: told for one in charges if (told := _charge(one)) is not None}


def _charge(thing: str) -> dict[str, Any] | None:
    state = current_bench().state
    view, told = charge(state, thing), snapshot.of_charge(state, thing)
    if view is None or told is None:
        return None
    placed = view.stay.placed if view.stay is not None else None
    here = Spot((placed.tier, placed.row, placed.column, placed.clock)).value if placed is not None else None
    cooling = cooling_told(view.cooling_mode, view.cooling_basis in SURE)
    ramp = ramp_told(state, view.crucible, current_bench().library)
    known = {"place": here, "cooling": cooling, "batches": list(view.batches), "ramp": ramp}
    return told | known | {"hot_pull": hot_pull_planned(view)}


def told_firing(view: Firing) -> dict[str, Any]:
    """A firing with its plan as points, its probe, and its readings."""
    state = current_bench().state
    slowest = learnt(state, view.plan.furnace, but=view.id).slowest_min
    fire = snapshot.of_firing(state, view.id, current_bench().library, slowest) or {}
    plan = [[ms / MINUTE_MS, c] for ms, c in planned_points(view.plan.segments, 0.0)]
    known: dict[str, Any] = {
        "code": view.code,
        "peak_c": view.peak_c,
        "limit_c": limit_c(view),
        "plan": plan,
        "carbonate": gasses_late(view),
        "probe": reference_of(letter_of(view)),
    }
    known |= {
        "spots": [[one.value, one.name] for one in spots(state, view)],
        "chamber_hot": next((one.say for one in chamber_hot(state, view)), None),
    }
    known |= {"lists": lists_told(view.id, snapshot.LISTS["firing"]), "asks_date": not state.setting(CO_EXPIRES)}
    return fire | known | {"readings": _fewer(read_points(view))}


def _fewer(readings: Table) -> list[Any]:
    """The newest readings whole, of those before them the lows and highs."""
    return [[round(ms), c] for ms, c in [*thinned(readings[:-NEWEST]), *readings[-NEWEST:].tolist()]]
