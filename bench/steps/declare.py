"""The format: what a step is, written once. All of it is plain data, so that it also travels to the phones as JSON.

A declaration says what is asked (fields), what stands against the step (gates), what it does to the things it touches
(effects), what it is called, and when it is due. `published.py` says which shape it has in JSON, `checked.py` holds
every condition and every name in it against the declared fields and facts when the program starts.
"""

from dataclasses import dataclass, field
from typing import Any, Literal

from bench.steps.effects import Also, Effect, Work
from bench.steps.fields import Field, From
from bench.steps.wording import Words


@dataclass(frozen=True)
class Need:
    """A refusal that looks at several fields: it stands beside `name` where `when` surely holds."""

    name: str
    say: str
    when: str


@dataclass(frozen=True)
class Doubt:
    """A figure that can hardly be right by what is on record: it is asked once more before it is recorded.

    `name` is the field that is typed, `value` what is judged: that field, where nothing else is said. In `when` stand
    beside fields and facts: `figure`, what is judged; `like`, about what it is to be; and `slip`, how many times ten it
    is that, none where it is not about that. Only where `when` surely holds it is asked; `say` tells what is expected.
    `called` is what is said of the figure where that is not what was typed; else the field's label.
    """

    name: str
    say: Words
    when: str
    like: "From | Work | None" = None
    value: "From | Work | None" = None
    called: str | None = None


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
class Due:
    """When a step is the next one, and what it is then called; its title where it has no words of its own."""

    when: str
    title: Words = ""


@dataclass(frozen=True)
class Step:
    """One step of the work. `on` are the sorts of things that it is done on, `record` the kind that it writes; `past`
    says what was done, by the first sentence that holds of its record.

    `due` is when it is the next step; an `optional` one is offered beside the next step and never is it. `single` is
    the field that tells the slot, `-` for one slot a thing, nothing where there may be many. `laptop` marks what only
    the laptop writes. Where its record `makes`
    a thing of a sort, the record is about that thing. `rules` are the steps of the rules' own list under which the
    laptop also judges what the thing is made of. `old` are fields that are asked no more: older records hold them, and
    a page of an earlier version may still send them. `row` are the words of its rows on a run sheet. `facts` and
    `says` are what it alone brings to its things, nothing before its first record. `doubts` are figures that it
    asks twice. A `generic` one has the house's own
    page; `dust` is the key that an open answer about dust holds, `photo` what a photo on its form should show, `terms`
    are what the rules are told of it.
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
    laptop: bool = False
    rules: tuple[str, ...] = ()
    fields: tuple[Field, ...] = ()
    work_out: tuple[Work, ...] = ()
    needs: tuple[Need, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    gates: tuple[Gate, ...] = ()
    effects: tuple[Effect, ...] = ()
    also: tuple[Also, ...] = ()
    old: tuple[Field, ...] = ()
    facts: dict[str, "Fact"] = field(default_factory=dict)
    says: tuple["Say", ...] = ()
    generic: bool = False
    dust: str = ""
    photo: str = ""
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
