"""Scenes for the tests of the rules: a step, what is on the bench, and what is known, written as a maker would say
it."""

from dataclasses import dataclass

from bench.reckoning.rules import ROLES, Finding, Part, judge
from bench.reference.library import Library
from bench.science.formulas import parse
from bench.science.refusal import Refusal


@dataclass(frozen=True)
class Scene:
    """One step with its parts and conditions."""

    step: str
    parts: tuple[Part, ...]
    conditions: tuple[tuple[str, object], ...]

    def findings(self, library: Library) -> list[Finding]:
        """What the rules say to it."""
        return judge(self.step, self.parts, dict(self.conditions), library)

    def found(self, library: Library) -> dict[str, Finding]:
        """What the rules say, by rule."""
        return {each.rule: each for each in self.findings(library)}


def part(text: str) -> Part:
    """A part from a short text: `KNO3`, `charcoal`, `@slug`, each with a role in front where it is no line
    (`packing=charcoal`) and grams behind where they matter (`KNO3 2.5`)."""
    role, _, rest = text.partition("=") if text.partition("=")[0] in ROLES else ("line", "", text)
    words = rest.split()
    g = float(words[-1]) if len(words) > 1 and words[-1].replace(".", "").isdigit() else None
    said = " ".join(words[:-1]) if g is not None else rest
    if said.startswith("@"):
        return Part(None, said[1:], said[1:], g, role)
    try:
        parse(said)
    except Refusal:
        return Part(None, said, None, g, role)
    return Part(said, said, None, g, role)


def at(step: str, *parts: str, **conditions: object) -> Scene:
    """A scene in one line."""
    return Scene(step, tuple(part(each) for each in parts), tuple(conditions.items()))
