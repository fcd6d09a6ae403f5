"""The further records that one form makes: what else is so when a step was done, as its declaration says."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from bench.steps.conditions import holds, parse
from bench.steps.declare import Step
from bench.steps.effects import Also
from bench.steps.looking import House, Things, value_in

MADE = "made"
"""Stands in a declaration for the thing that an earlier record of the same form made."""


@dataclass(frozen=True)
class Further:
    """A record: its kind, the thing that it is about (None: one that it makes, MADE: what was made), what it says."""

    record: str
    thing: str | None
    data: dict[str, Any]
    coded: bool


def further(house: House, step: Step, things: Things, thing: str, fields: Mapping[str, Any]) -> list[Further]:
    """The further records of a step on a thing, in the order in which they are declared."""
    return [found for also in step.also for found in _of(house, also, things, thing, fields)]


def _of(house: House, also: Also, things: Things, thing: str, fields: Mapping[str, Any]) -> Iterator[Further]:
    for row in fields.get(also.each) or () if also.each else (None,):
        look = house.look(things, thing, fields, row)
        if also.when and holds(parse(also.when), look) is not True:
            continue
        about = also.thing if also.thing == MADE else value_in(also.thing, fields, look, row)
        yield Further(also.record, about, value_in(also.data, fields, look, row), also.coded)
