"""Where each next step is done, and its glyph, as it is declared; and the page of each sort of thing."""

from bench.steps import BY_VERB
from bench.steps.judging import PLACE
from bench.workshop.next_steps import NextStep

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
    for address in BY_VERB[step.verb].address:
        if set(PLACE.findall(address)) == {step.what}:
            return address.format(**{step.what: step.thing})
    return PAGES[step.what].format(step.thing)


def glyph_of(step: NextStep) -> str:
    """The glyph that stands before a next step."""
    return BY_VERB[step.verb].glyph


def thing_path(what: str | None, thing: str) -> str:
    """The page of a thing; what has no page of its own is shown as its records."""
    return PAGES.get(what or "", "/thing/{}").format(thing)
