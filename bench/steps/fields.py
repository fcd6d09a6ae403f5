"""The fields of a step: what is asked and recorded, of which kind, within which bounds."""

from dataclasses import dataclass
from typing import Any, Literal

Kind = Literal["number", "whole", "choice", "text", "flag", "code", "thing", "list", "rows", "moment",
               "numbers", "value", "values"]  # fmt: skip
Where = Literal["both", "form", "data"]


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
    `alias` are names under which pages of an earlier version send it. `start` is a literal, or T(path); `like` is the
    T(path) that a number will be about, so that a keypad sets its point by itself; `default` is what a record holds
    that does not say it. `sheet` are its words on a run sheet, `missing` what is said where it was
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
    like: From | None = None
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


def rows(name: str, label: str, inner: tuple[Field, ...], required: bool = False, **more: Any) -> Field:
    return Field(name, label, "rows", rows=inner, required=required, **more)


@dataclass(frozen=True)
class Compare:
    """How a recorded field is compared between powders: under which words, and which of several records counts.

    Two numbers differ where they lie further apart than `scatter`; `places` are the decimals that are shown.
    """

    words: str
    which: Literal["last", "least", "sum"] = "last"
    scatter: float = 0.0
    places: int = 1
