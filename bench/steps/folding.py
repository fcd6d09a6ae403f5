"""What a record does to the facts: the effects of its step, in their order. Twin of the phones' reducer."""

import copy
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from bench.steps.conditions import Look, holds, parse
from bench.steps.declare import Step
from bench.steps.effects import Effect
from bench.steps.looking import House, value_of
from bench.steps.named import EFFECTS

Things = dict[str, dict[str, Any]]


@dataclass(frozen=True)
class StepRecord:
    """A record as the reducer reads it. `made` is the id of the thing that it makes, where it makes one."""

    thing: str | None
    data: Mapping[str, Any]
    at_ms: float = 0.0
    made: str = ""
    row: Mapping[str, Any] | None = field(default=None)


def apply(house: House, step: Step, things: Things, told: StepRecord) -> None:
    """The effects of a record on the facts, in place."""
    for effect in step.effects:
        _apply(house, effect, things, told)


def added(step: Step, path: str, data: Mapping[str, Any]) -> float:
    """What a record with this data adds to a fact, as far as its data alone says it."""
    look = House(()).look({}, None, data)
    told = StepRecord(None, data)
    adds = (one for one in step.effects if one.op == "add" and one.path == path)
    held = (one for one in adds if not one.when or holds(parse(one.when), look) is True)
    return sum(_value(one.value, told, look) or 0.0 for one in held)


def _apply(house: House, effect: Effect, things: Things, told: StepRecord) -> None:
    look = house.look(things, told.thing, told.data, told.row, told.made)
    if effect.when and holds(parse(effect.when), look) is not True:
        return
    if effect.op == "do":
        EFFECTS[effect.path](things, told.thing, told.data)
    elif effect.op == "each":
        for row in told.data.get(effect.path) or ():
            for inner in effect.value:
                _apply(house, inner, things, StepRecord(told.thing, told.data, told.at_ms, told.made, row))
    elif effect.op == "make":
        facts = {name: _value(given, told, look) for name, given in effect.value.items()}
        things[told.made] = copy.deepcopy({"sort": effect.path, "id": told.made, **facts})
    else:
        _change(effect, things, told, look)


def _change(effect: Effect, things: Things, told: StepRecord, look: Look) -> None:
    where, name = effect.path.rsplit(".", 1)
    target = _target(where, things, told)
    value = _value(effect.value, told, look)
    if target is None or (value is None and effect.op != "set"):
        return
    if effect.op == "set":
        target[name] = copy.deepcopy(value)
    elif effect.op == "add":
        target[name] = (target.get(name) or 0.0) + value
    else:
        more = [value] if effect.op == "append" else [one for one in value if one not in (target.get(name) or ())]
        target[name] = [*(target.get(name) or ()), *more]


def _target(where: str, things: Things, told: StepRecord) -> dict[str, Any] | None:
    here = things.get(told.thing) if told.thing is not None else None
    if here is not None and where in ("this", here["sort"]):
        return here
    if where == "made":
        return things.get(told.made)
    if where.startswith("row."):
        return things.get(str((told.row or {}).get(where[4:])))
    return things.get(str(told.data.get(where)))


def _value(given: Any, told: StepRecord, look: Look) -> Any:
    own = {"id": told.made, "at": told.at_ms}
    return value_of(given, {**told.data, **own}, look, told.row)
