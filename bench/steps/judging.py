"""What stands against a step, whether it is due, and its sentences with the facts put in."""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from bench.reference.cautions import EFFECTS
from bench.steps.conditions import UNKNOWN, Look, holds, is_number, parse
from bench.steps.declare import Gate, Step
from bench.steps.named import known
from bench.steps.wording import Plural, Words, chosen

PLACE = re.compile(r"\{([^}]+)\}")
Translate = Callable[[str], str]
Show = Callable[[float], str]


@dataclass(frozen=True)
class Found:
    """A gate that stands against a step: its sentence, and whether it surely does or only may, for want of a fact."""

    gate: Gate
    say: str
    sure: bool


def stands(gate: Gate, look: Look) -> bool | None:
    """Whether a gate counts: True surely, None because something is not known, False not."""
    answer = holds(parse(gate.when), look)
    return False if answer is None and gate.sure else answer


def against(step: Step, look: Look, say: Translate = str) -> list[Found]:
    """What stands against a step, the heaviest first. `say` translates a sentence before the facts are put in."""
    found = [
        Found(gate, fill(gate.say, look, say), answer is True)
        for gate in step.gates
        if (answer := stands(gate, look)) is not False
    ]
    return sorted(found, key=lambda one: EFFECTS.index(one.gate.effect))


def flags_after(step: Step, look: Look, say: Translate = str) -> list[tuple[str, str]]:
    """The rules that a record broke in fact, each with the flag that stays on the thing."""
    broken = [gate for gate in step.gates if gate.after and stands(gate, look) is True]
    return [(gate.rule, fill(gate.after, look, say)) for gate in broken]


def due(steps: Iterable[Step], sort: str, look: Look, optional: bool = False) -> list[tuple[Step, Words]]:
    """The steps for which it is surely time, in the order of the declarations, each with its title."""
    found = []
    for step in steps:
        if sort in step.on and step.optional == optional:
            held = [one for one in step.due if holds(parse(one.when), look) is True]
            found += [(step, one.title or step.title) for one in held[:1]]
    return found


def figure(number: float, digits: int | None = None) -> str:
    """A number in a sentence, rounded half away from zero: the languages' own rules differ on ties."""
    if digits is None:
        text = figure(number, 9 if abs(number) < 1e6 else 3)
        return text.rstrip("0").rstrip(".")
    whole = int(abs(number) * 10**digits + 0.5 + 1e-9)
    text = str(whole).rjust(digits + 1, "0")
    sign = "-" if number < 0 and whole else ""
    return sign + (f"{text[:-digits]}.{text[-digits:]}" if digits else text)


def past(step: Step, look: Look, say: Translate = str, mass: Show = figure) -> str:
    """What was done, from the data of its record: the first of the step's sentences that surely holds."""
    said = next((one for one in step.past if not one.when or holds(parse(one.when), look) is True), None)
    options = {(one.name, each.value): each.words for one in step.recorded for each in one.options}

    def in_words(name: str) -> Any:
        value = look(name)
        words = options.get((name, value)) if isinstance(value, str) else None
        return value if words is None else say(words)

    return say(step.kind_words) if said is None else fill(said.text, in_words, say, mass)


def fill(words: Words, look: Look, say: Translate = str, mass: Show = figure, clock: Show = figure) -> str:
    """A sentence with its facts: {a.b}, {a.b:2} with two decimals, {a.b:mass} as `mass` shows it, {a.b:code} dashed.

    {a.b:clock} is a moment in ms as `clock` shows it.

    What is not known stands as a dash.
    """
    text = chosen(words, look(words.by)) if isinstance(words, Plural) else words
    return PLACE.sub(lambda match: _shown(match[1], look, mass, clock), say(text))


def _shown(place: str, look: Look, mass: Show, clock: Show) -> str:
    name, _colon, how = place.partition(":")
    value: Any = look(name)
    if value is UNKNOWN or not known(value):
        return "–"
    if isinstance(value, list | tuple):
        return ", ".join(str(one) for one in value)
    if how == "code":
        return f"{value[:5]}-{value[5:]}"
    if how in ("mass", "clock"):
        return (mass if how == "mass" else clock)(value)
    if is_number(value):
        return figure(value, int(how) if how.isdigit() else None)
    return str(value)
