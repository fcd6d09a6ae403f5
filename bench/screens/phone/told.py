"""What a phone is told of each thing under way, as data: it lays over it what happened on it since."""

from collections.abc import Iterable
from typing import Any

from bench.science.thermocouples import reference_of
from bench.screens.furnace.curves import MINUTE_MS, Table, planned_points, read_points, thinned
from bench.screens.furnace.firing_reading import letter_of
from bench.screens.furnace.firing_view import gasses_late
from bench.screens.weighing.weighing import aims
from bench.web.current import bench
from bench.workshop import snapshot
from bench.workshop.learning import learnt
from bench.workshop.things.batches import Batch
from bench.workshop.things.firings import Firing

NEWEST = 400


def told_batch(view: Batch) -> dict[str, Any] | None:
    """A batch, with the names and places of its lines as this bench weighs them."""
    found = aims(bench().state, bench().library, view)
    within = found[0].within_g if found else 0.0
    told = snapshot.of_batch(
        bench().state, view.id, bench().library, {aim.number: aim.name for aim in found}, within, bench().now()
    )
    return None if told is None else told | {"places": found[0].places if found else 2}


def charges_told(charges: Iterable[str]) -> dict[str, Any]:
    """Some charges by their ids."""
    return {one: snapshot.of_charge(bench().state, one) for one in charges}


def told_firing(view: Firing) -> dict[str, Any]:
    """A firing with its plan as points, its probe, and its readings."""
    state = bench().state
    slowest = learnt(state, view.plan.furnace, but=view.id).slowest_min
    fire = snapshot.of_firing(state, view.id, bench().library, slowest) or {}
    plan = [[ms / MINUTE_MS, c] for ms, c in planned_points(view.plan.segments, 0.0)]
    known = {"plan": plan, "carbonate": gasses_late(view), "probe": reference_of(letter_of(view))}
    return fire | known | {"readings": _fewer(read_points(view))}


def _fewer(readings: Table) -> list[Any]:
    """The newest readings whole, of those before them the lows and highs."""
    return [[round(ms), c] for ms, c in [*thinned(readings[:-NEWEST]), *readings[-NEWEST:].tolist()]]
