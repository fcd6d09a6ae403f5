"""Names looked up: a field of the form, or a fact of a thing with its references followed."""

from collections.abc import Mapping
from typing import Any

from bench.steps.conditions import UNKNOWN, Look, holds, parse
from bench.steps.declare import Derived, Sort
from bench.steps.fields import From
from bench.steps.named import FUNCTIONS

Facts = Mapping[str, Any]
Things = Mapping[str, Facts]
"""The facts of things by their ids; each says of which `sort` it is."""


class House:
    """The sorts of things, and what is worked out of their facts."""

    def __init__(self, sorts: tuple[Sort, ...]) -> None:
        self.sorts = {one.sort: one for one in sorts}

    def look(self, things: Things, thing: str | None, data: Facts, row: Facts | None = None, made: str = "") -> Look:
        """A function from a name to its value or UNKNOWN, for a step on `thing` with these fields."""

        def find(path: str) -> Any:
            first, *rest = path.split(".")
            if not rest:
                return _given(data, first)
            if first == "row":
                at = _given(row or {}, rest[0])
                return at if len(rest) == 1 else self.fact(things, at, rest[1:])
            return self.fact(things, self._named(things, thing, first, data, made), rest)

        return find

    def _named(self, things: Things, thing: str | None, first: str, data: Facts, made: str) -> Any:
        if first == "made":
            return made
        here = things.get(thing) if thing is not None else None
        return thing if here is not None and first in ("this", here["sort"]) else _given(data, first)

    def fact(self, things: Things, thing: Any, path: list[str]) -> Any:
        """A fact of a thing, worked out where it is derived; a reference is followed."""
        facts = things.get(thing) if isinstance(thing, str) else None
        if facts is None:
            return UNKNOWN
        name, *rest = path
        found = facts[name] if name in facts else self._derived(things, str(thing), name)
        return self.fact(things, found, rest) if rest else found

    def _derived(self, things: Things, thing: str, name: str) -> Any:
        sort = self.sorts.get(things[thing]["sort"])
        how = sort.derived.get(name) if sort is not None else None
        if how is None:
            return UNKNOWN
        if isinstance(how, Derived):
            given = (self.fact(things, thing, [g[1:]]) if _is_own(g) else g for g in how.given)
            return FUNCTIONS[how.function](*given)
        answer = holds(parse(how), self.look(things, thing, {}))
        return UNKNOWN if answer is None else answer


def _is_own(given: Any) -> bool:
    return isinstance(given, str) and given.startswith(".")


def _given(data: Facts, name: str) -> Any:
    found = data.get(name, UNKNOWN)
    return UNKNOWN if found is None else found


def value_of(given: Any, data: Facts, look: Look, row: Facts | None = None) -> Any:
    """What a value of a declaration comes to: itself, a field of the record, or a fact; None where it is not known."""
    if not isinstance(given, From):
        return given
    if given.what == "t":
        found = look(given.name)
        return None if found is UNKNOWN else found
    return (row or {}).get(given.name[4:]) if given.name.startswith("row.") else data.get(given.name)


def value_in(given: Any, data: Facts, look: Look, row: Facts | None = None) -> Any:
    """A value with every value inside its lists and objects put in; what is not known is left out of objects."""
    if isinstance(given, dict):
        put = {name: value_in(one, data, look, row) for name, one in given.items()}
        return {name: one for name, one in put.items() if one is not None}
    if isinstance(given, list | tuple):
        return [value_in(one, data, look, row) for one in given]
    return value_of(given, data, look, row)
