"""Which cooling a charge may have, when it may hold several batches and what earlier fires left."""

from bench.records.kinds import BatchPlanned
from bench.records.state import State
from bench.workshop.things.crucibles import charges_before

COOLING_WORSE = ("unknown", "controlled", "slow", "in-furnace", "either", "fast", "quench-water")
"""From the one that asks the most of us to the one that asks the least: unknown stays in, and so does slow."""
BASIS_WEAKER = ("unknown", "memory", "mixed", "read-part", "project-default", "computed", "own", "planned", "read")


def cooling_of(state: State, thing: str) -> tuple[str, str, bool]:
    """The mode that all of a charge allows, the weakest ground of any of it, and whether all of it is to be pulled hot.

    The gentlest mode of all counts. What has no plan on this bench has no known cooling.
    """
    plans = _plans(state, thing, frozenset())
    known = [p for p in plans if p is not None]
    if not known or len(known) < len(plans):
        return "unknown", "unknown", False
    mode = min((p.cooling_mode for p in known), key=COOLING_WORSE.index)
    basis = min((p.cooling_basis for p in known), key=_strength)
    return mode, basis, all(p.hot_pull for p in known)


def _strength(basis: str) -> int:
    return BASIS_WEAKER.index(basis) if basis in BASIS_WEAKER else 0


def _plans(state: State, thing: str, seen: frozenset[str]) -> list[BatchPlanned | None]:
    # None stands for some part of the charge of which nobody knows how it may cool. A salt put straight in is no such
    # part: it is there for the sake of the rest.
    body = state.slot(thing, "charged").body
    if body is None:
        return [None]
    found: list[BatchPlanned | None] = []
    for source in body.sources:
        if source.batch is not None:
            found.append(state.slot(source.batch, "batch.planned").body)
        if source.pigment is None and source.charge is None:
            continue
        before = charges_before(state, source)
        found += [None] if not before else []
        for earlier in before:
            found += _plans(state, earlier, seen | {thing}) if earlier not in seen | {thing} else []
    return found
