"""Where each next step is done: the one map from a verb to its screen, so that no screen guesses another's address."""

from bench.workshop.next_steps import NextStep

PATHS: dict[str, str] = {
    "weigh": "/batch/{}/weigh",
    "grind": "/batch/{}/grind",
    "dry": "/batch/{}/dry",
    "load": "/batch/{}/load",
    "place": "/charge/{}/place",
    "fire": "/firing/{}",
    "cool": "/charge/{}/cool",
    "open": "/charge/{}/open",
    "wash": "/pigment/{}/wash",
    "grind-again": "/pigment/{}/grind",
    "dry-weigh": "/pigment/{}/dry",
    "swatch": "/pigment/{}/swatch",
    "judge": "/pigment/{}/judge",
    "plan": "/plan",
    "after-checks": "/firing/{}/checks/after-shutdown",
}
ELSEWHERE: dict[tuple[str, str], str] = {
    ("dry", "charge"): "/charge/{}/dry",
    ("load", "pigment"): "/pigment/{}/refire",
    ("plan", "pigment"): "/pigment/{}/make-up",
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
    "swatch": "/swatch/{}",
    "waste": "/waste/{}",
}
"""The page of each sort of thing. Everything that is recorded of any thing stands at `/thing/<id>`."""


def step_path(step: NextStep) -> str:
    """The screen on which a next step is done."""
    template = ELSEWHERE.get((step.verb, step.what)) or PATHS.get(step.verb) or PAGES[step.what]
    return template.format(step.thing)


def thing_path(what: str | None, thing: str) -> str:
    """The page of a thing; what has no page of its own is shown as its records."""
    return PAGES.get(what or "", "/thing/{}").format(thing)
