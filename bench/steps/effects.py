"""What a record does to the facts of the things that it touches, and what else is recorded with it."""

from dataclasses import dataclass
from typing import Any, Literal


@dataclass(frozen=True)
class Effect:
    """What a record does to a fact: see the makers below."""

    op: Literal["set", "add", "append", "join", "make", "each", "do"]
    path: str
    value: Any = None
    when: str = ""


READ = ("surface_c", "read_ms", "before_c", "before_ms")
"""The facts of what was read of a charge's surface; none of them is known once it is in the heat again."""


def put(path: str, value: Any, when: str = "") -> Effect:
    """The fact has this value from now on."""
    return Effect("set", path, value, when)


def add(path: str, value: Any, when: str = "") -> Effect:
    """The fact is more by this number; what was not known counts as nothing."""
    return Effect("add", path, value, when)


def append(path: str, value: Any, when: str = "") -> Effect:
    """The list has one more value at its end; nothing is added where the value is not known."""
    return Effect("append", path, value, when)


def join(path: str, value: Any, when: str = "") -> Effect:
    """The list holds also what another list holds, each once."""
    return Effect("join", path, value, when)


def make(sort: str, facts: dict[str, Any], when: str = "") -> Effect:
    """The record makes a thing; its id is that of the record, or of the first of a line of corrections."""
    return Effect("make", sort, facts, when)


def each(name: str, effects: tuple[Effect, ...], when: str = "") -> Effect:
    """These effects once for each row of a field; in them `row` is the row."""
    return Effect("each", name, effects, when)


def do(name: str, when: str = "") -> Effect:
    """Code of this name, listed in `named.py` and written on both sides. Few."""
    return Effect("do", name, None, when)


@dataclass(frozen=True)
class Also:
    """A further record that the same form makes; with `each` one for every row of that field.

    `thing` is what it is about: nothing where the record makes a thing, `made` for the thing that an earlier one made.
    What is made gets a code of its own where `coded` says so. Values inside lists and objects are put in too.
    """

    record: str
    thing: Any
    data: dict[str, Any]
    when: str = ""
    each: str = ""
    coded: bool = False


@dataclass(frozen=True)
class Work:
    """A recorded field that is worked out: the name of a function of `named.py`, and what it is given."""

    name: str
    function: str
    given: tuple[Any, ...]
