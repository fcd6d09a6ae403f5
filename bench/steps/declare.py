"""The format: what a step is, written once. All of it is plain data, so that it also travels to the phones as JSON.

A declaration says what is asked (fields), what stands against the step (gates), what it does to the things it touches
(effects), what it is called, and when it is due. `published.py` says which shape it has in JSON, `checked.py` holds
every condition and every name in it against the declared fields and facts when the program starts.
"""

from dataclasses import dataclass, field
from typing import Any, Literal

from bench.steps.wording import Words

Kind = Literal["number", "whole", "choice", "text", "flag", "code", "thing", "list", "rows"]
Where = Literal["both", "form", "data"]
GRAVITY = ("refuse", "block", "flag")
"""How heavily a gate stands against a step, the heaviest first."""


@dataclass(frozen=True)
class From:
    """A value that is read when it is needed: a field of the record (`f`), or a fact just before it (`t`).

    `id` and `at` as fields are the record's own.
    """

    what: Literal["f", "t"]
    name: str


def F(name: str) -> From:
    """The value of a field of the record."""
    return From("f", name)


def T(path: str) -> From:
    """A fact of a thing, as it stands just before the record."""
    return From("t", path)


@dataclass(frozen=True)
class Option:
    """One answer to choose: its value in the record, its words, and what to think of with it."""

    value: str
    words: str
    why: str = ""
    on_paper: bool = True  # a run sheet leaves it out where an empty box says the same


@dataclass(frozen=True)
class Field:
    """One thing that is asked or recorded.

    `place`: `both`; `form`, asked and not recorded; `data`, recorded and worked out, or taken from elsewhere. `when` is
    the condition under which it is asked at all. `fixed` tells the slot or the thing, so a correction leaves it alone.
    `alias` are names under which pages of an earlier version send it. `start` is a literal, or T(path); `default` is
    what a record holds that does not say it. `sheet` are its words on a run sheet, `missing` what is said where it was
    left empty there. `as_last`: a habit, offered as it was the last time, and recorded as assumed while nobody touches
    it. What is read off the work is never one, nor what decides about a hazard.
    """

    name: str
    label: str
    kind: Kind = "text"
    unit: str = ""
    low: float = 0.0
    high: float = 1e6
    required: bool = True
    options: tuple[Option, ...] = ()
    most: int = 4_000
    lines: bool = False
    of: str = ""
    start: Any = None
    default: Any = None
    place: Where = "both"
    fixed: bool = False
    keypad: bool = False
    hint: str = ""
    when: str = ""
    listed: tuple[str, ...] = ()
    rows: tuple["Field", ...] = ()
    alias: tuple[str, ...] = ()
    compare: "Compare | None" = None
    sheet: str = ""
    missing: str = ""
    as_last: bool = False

    @property
    def values(self) -> tuple[str, ...]:
        """The values of its options."""
        return tuple(one.value for one in self.options)


def number(name: str, label: str, unit: str = "", low: float = 0.0, high: float = 1e6, **more: Any) -> Field:
    return Field(name, label, "number", unit, low, high, **more)


def whole(name: str, label: str, low: int = 0, high: int = 1_000_000, **more: Any) -> Field:
    return Field(name, label, "whole", "", low, high, **more)


def choice(name: str, label: str, options: tuple[Option, ...], **more: Any) -> Field:
    return Field(name, label, "choice", options=options, **more)


def text(name: str, label: str, most: int = 4_000, **more: Any) -> Field:
    return Field(name, label, "text", most=most, **more)


def flag(name: str, label: str, **more: Any) -> Field:
    return Field(name, label, "flag", required=False, **more)


def code(name: str, label: str, of: str, **more: Any) -> Field:
    return Field(name, label, "code", of=of, **more)


def thing(name: str, label: str, of: str, **more: Any) -> Field:
    return Field(name, label, "thing", of=of, **more)


def rows(name: str, label: str, inner: tuple[Field, ...], **more: Any) -> Field:
    return Field(name, label, "rows", rows=inner, required=False, **more)


@dataclass(frozen=True)
class Need:
    """A refusal that looks at several fields: it stands beside `name` where `when` surely holds."""

    name: str
    say: str
    when: str


@dataclass(frozen=True)
class Gate:
    """What stands against the act. It counts unless its condition is surely false; with `sure` only where surely true.

    `refuse`: not done here. `block`: recorded only as something that was done already. `flag`: shown. `after` is the
    flag that stays on the thing where it was done all the same: one rule, one declaration, before the act and after.
    """

    rule: str
    effect: Literal["refuse", "block", "flag"]
    say: Words
    when: str
    sure: bool = False
    after: Words = ""
    source: str = "project default"


@dataclass(frozen=True)
class Effect:
    """What a record does to a fact: see the makers below."""

    op: Literal["set", "add", "append", "join", "make", "each", "do"]
    path: str
    value: Any = None
    when: str = ""


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


@dataclass(frozen=True)
class Compare:
    """How a recorded field is compared between powders: under which words, and which of several records counts.

    Two numbers differ where they lie further apart than `scatter`; `places` are the decimals that are shown.
    """

    words: str
    which: Literal["last", "least", "sum"] = "last"
    scatter: float = 0.0
    places: int = 1


@dataclass(frozen=True)
class Due:
    """When a step is the next one, and what it is then called; its title where it has no words of its own."""

    when: str
    title: Words = ""


@dataclass(frozen=True)
class Step:
    """One step of the work. `on` are the sorts of things that it is done on, `record` the kind that it writes; `past`
    says what was done, by the first sentence that holds of its record.

    `due` is when it is the next step; an `optional` one is offered beside the next step and never is it. `single` is
    the field that tells the slot, `-` for one slot a thing, nothing where there may be many. Where its record `makes`
    a thing of a sort, the record is about that thing. `rules` are the steps of the rules' own list under which the
    laptop also judges what the thing is made of. `old` are fields that are asked no more: older records hold them, and
    a page of an earlier version may still send them. `row` are the words of its rows on a run sheet. `facts` and
    `says` are what it alone brings to its things, nothing before its first record. A `generic` one has the house's own
    page; `dust` is the key that an open answer about dust holds, `terms` are what the rules are told of it.
    """

    verb: str
    on: tuple[str, ...]
    record: str | None
    title: str
    key: str = ""
    past: tuple["Say", ...] = ()
    glyph: str = "next"
    address: tuple[str, ...] = ()
    due: tuple[Due, ...] = ()
    optional: bool = False
    away: bool = True
    single: str = ""
    makes: str = ""
    rules: tuple[str, ...] = ()
    fields: tuple[Field, ...] = ()
    work_out: tuple[Work, ...] = ()
    needs: tuple[Need, ...] = ()
    gates: tuple[Gate, ...] = ()
    effects: tuple[Effect, ...] = ()
    also: tuple[Also, ...] = ()
    old: tuple[Field, ...] = ()
    facts: dict[str, "Fact"] = field(default_factory=dict)
    says: tuple["Say", ...] = ()
    generic: bool = False
    dust: str = ""
    terms: dict[str, Any] = field(default_factory=dict)
    row: str = ""
    kind_words: str = ""
    version: int = 1

    def field(self, name: str) -> Field:
        """The field of this name that its form asks, else the one that only its record holds."""
        found = [one for one in (*self.asked, *self.recorded) if one.name == name]
        return found[0]

    @property
    def asked(self) -> tuple[Field, ...]:
        """The fields that its form asks, in their order."""
        return tuple(one for one in self.fields if one.place != "data")

    @property
    def recorded(self) -> tuple[Field, ...]:
        """The fields that a record holds, those of older records last."""
        return (*(one for one in self.fields if one.place != "form"), *self.old)


@dataclass(frozen=True)
class Fact:
    """One fact of a thing: its kind, the sort of thing that it names, what it means, and which values it may have."""

    kind: Literal["flag", "number", "text", "list", "rows", "thing"]
    of: str = ""
    words: str = ""
    values: tuple[str, ...] = ()


@dataclass(frozen=True)
class Derived:
    """A fact that is worked out from others: a function of `named.py` and what it is given; `.name` is an own fact."""

    kind: Literal["flag", "number", "text", "list", "rows", "thing"]
    function: str
    given: tuple[Any, ...]


@dataclass(frozen=True)
class Say:
    """A sentence about a thing or a record, shown where `when` surely holds; with `unless` where that is not sure."""

    text: Words
    when: str = ""
    unless: str = ""
    look: Literal["line", "warn"] = "line"


@dataclass(frozen=True)
class Sort:
    """A sort of thing: its facts, those worked out from them (a condition, or a Derived), the sentences about it."""

    sort: str
    title: str
    facts: dict[str, Fact] = field(default_factory=dict)
    derived: dict[str, Any] = field(default_factory=dict)
    says: tuple[Say, ...] = ()
