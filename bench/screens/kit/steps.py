"""Where each next step is done, and its glyph: as it is declared, else by the one map from a verb to its screen."""

from bench.steps import BY_VERB
from bench.steps.judging import PLACE
from bench.workshop.next_steps import NextStep

PATHS: dict[str, str] = {
    "fire": "/firing/{}",
    "plan": "/plan",
    "after-checks": "/firing/{}/checks/after-shutdown",
}
ELSEWHERE: dict[tuple[str, str], str] = {
    ("plan", "pigment"): "/pigment/{}/make-up",
}
GLYPHS = {
    "fire": "flame",
    "plan": "plan",
    "after-checks": "flame",
}
PAGES: dict[str, str] = {
    "jar": "/jar/{}",
    "crucible": "/crucible/{}",
    "furnace": "/furnace/{}",
    "burner": "/furnace/{}",
    "series": "/series/{}",
    "batch": "/batch/{}",
    "charge": "/charge/{}",
    "firing": "/firing/{}",
    "pigment": "/pigment/{}",
    "waste": "/waste/{}",
}
"""The page of each sort of thing. Everything that is recorded of any thing stands at `/thing/<id>`."""


def step_path(step: NextStep) -> str:
    """The screen on which a next step is done."""
    declared = BY_VERB.get(step.verb)
    for address in declared.address if declared is not None else ():
        if set(PLACE.findall(address)) == {step.what}:
            return address.format(**{step.what: step.thing})
    template = ELSEWHERE.get((step.verb, step.what)) or PATHS.get(step.verb) or PAGES[step.what]
    return template.format(step.thing)


def glyph_of(step: NextStep) -> str:
    """The glyph that stands before a next step."""
    declared = BY_VERB.get(step.verb)
    return declared.glyph if declared is not None else GLYPHS.get(step.verb, "next")


def thing_path(what: str | None, thing: str) -> str:
    """The page of a thing; what has no page of its own is shown as its records."""
    return PAGES.get(what or "", "/thing/{}").format(thing)
