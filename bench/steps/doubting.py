"""Which figures of a record can hardly be right by what is on record: they are asked once more before it is kept.

Each step declares its own (`doubts`); those about the time are the same for every step and stand here. The phones judge
by the same declarations (`static/doubts.js`).
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Any

from bench.steps.conditions import Look, holds, parse
from bench.steps.declare import Doubt, Step
from bench.steps.effects import Work
from bench.steps.fields import F
from bench.steps.judging import Show, Translate, figure, fill
from bench.steps.looking import value_of
from bench.steps.named import FUNCTIONS, known
from bench.steps.wording import _

Data = dict[str, Any]
LookWith = Callable[[Data], Look]
"""Looks a name up with these fields."""
TIME = "happened"
"""The field of a form in which an earlier time is set; a condition asks for it as `at`."""
MINUTE_END_MS = 59_999
"""A time is typed to the minute: what happened within that minute was not before it."""
BEGAN = (
    ("charge.made_ms", ("charge",), (), _("The crucible was filled at {charge.made_ms:clock}.")),
    ("pigment.made_ms", ("pigment",), (), _("This powder came out at {pigment.made_ms:clock}.")),
    ("batch.mixed_ms", ("batch",), ("dry",), _("It was first mixed at {batch.mixed_ms:clock}.")),
    ("charge.in_ms", ("charge",), ("come-out", "open"), _("It went into the heat at {charge.in_ms:clock}.")),
    ("charge.out_ms", ("charge",), ("open",), _("It came out of the heat at {charge.out_ms:clock}.")),
    ("firing.lit_ms", ("firing",), ("shut-down", "close"), _("It was lit at {firing.lit_ms:clock}.")),
)
"""What must have been before: the fact that tells its time, of which sorts, for which steps (all where none), and how
it is said. The first that is broken is said."""


@dataclass(frozen=True)
class Doubted:
    """A figure that is asked once more: its field, what was typed, what is expected, how many times ten it is that."""

    name: str
    value: float
    say: str
    slip: float | None
    called: str | None = None

    @property
    def key(self) -> str:
        """What a form says once the maker has looked again: good for this figure alone."""
        return f"{self.name}={figure(self.value)}"


def with_times(step: Step) -> Step:
    """A step with the doubts about its time that every step of its sorts has."""
    own = [row for row in BEGAN if set(row[1]) & set(step.on) and (not row[2] or step.verb in row[2]) and step.record]
    return replace(
        step, doubts=(*step.doubts, *(Doubt(TIME, say, f"at<{path}", value=F("at")) for path, *_, say in own))
    )


def doubted(step: Step, look_with: LookWith, data: Data, say: Translate, mass: Show, clock: Show) -> list[Doubted]:
    """What is to be asked of a record of this step, one a field. `data` holds also `at`, when it happened, in ms."""
    found: dict[str, Doubted] = {}
    for one in step.doubts:
        own = _judged(one, look_with, data)
        value = own.get("figure")
        look = look_with(data | own)
        if value is not None and holds(parse(one.when), look) is True:
            asked = Doubted(one.name, value, fill(one.say, look, say, mass, clock), own.get("slip"), one.called)
            found.setdefault(one.name, asked)
    return list(found.values())


def _judged(one: Doubt, look_with: LookWith, data: Data) -> Data:
    look = look_with(data)
    value, like = (_worth(each, data, look) for each in (one.value or F(one.name), one.like))
    every = {"figure": value, "like": like, "slip": FUNCTIONS["slip"](value, like)}
    return {name: each for name, each in every.items() if known(each)}


def _worth(one: Any, data: Data, look: Look) -> Any:
    if isinstance(one, Work):
        return FUNCTIONS[one.function](*(value_of(each, data, look) for each in one.given))
    return value_of(one, data, look)


def unsure(found: Iterable[Doubted], sure: str) -> list[Doubted]:
    """Those of which nobody said yet that they are right; `sure` is what the form says of that."""
    said = set(sure.split())
    return [one for one in found if one.key not in said]
