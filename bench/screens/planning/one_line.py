"""What is in the mortar, typed in one line: `ZnO 8; Fe2O3 16`. It becomes the rows of the form."""

import re

from bench.records.state import State
from bench.reference import Library
from bench.screens.planning.lines import FIRST_ROWS, MOST_ROWS
from bench.web.forms import Form
from bench.web.words import _

FIELD = "mixture"
LONGEST = 400
BETWEEN = re.compile(r"\s*[;\n]\s*|\s+\+\s+|,\s+")
"""A comma within a number is its decimal mark: between two reagents a space follows it."""
NAME_FIRST = re.compile(r"(?P<name>.+?)\s+(?P<g>[\d.,]+)(?:\s*g)?")
GRAMS_FIRST = re.compile(r"(?P<g>[\d.,]+)(?:\s*g)?\s+(?P<name>\D.*)")


def bring_mixture(form: Form, state: State, library: Library) -> None:
    """Put the line's reagents into the rows, each from its jar where one is open; what is no reagent is asked back."""
    typed = form.text(FIELD, max_len=LONGEST) or ""
    parts = [one.strip() for one in BETWEEN.split(typed) if one.strip()]
    found = [NAME_FIRST.fullmatch(one) or GRAMS_FIRST.fullmatch(one) for one in parts]
    for part, match in zip(parts, found, strict=True):
        if match is None:
            form.refuse(_("“{part}”: type reagent and grams, such as ZnO 8.", part=part[:40]), FIELD)
            return
    first = _first_free(form)
    if first + len(found) > MOST_ROWS:
        form.refuse(_("These are more than {n} reagents.", n=MOST_ROWS), FIELD)
        return
    for n, match in enumerate((one for one in found if one is not None), first):
        jar = _jar_of(match["name"], state, library)
        form.typed |= {f"g.{n}": match["g"]} | ({f"jar.{n}": jar} if jar else {f"formula.{n}": match["name"]})
    if found:
        form.typed["rows"] = str(max(FIRST_ROWS, min(MOST_ROWS, first + len(found) + 1)))
        form.typed.pop(FIELD)


def _first_free(form: Form) -> int:
    used = [n for n in range(MOST_ROWS) if any(form.typed.get(f"{name}.{n}") for name in ("jar", "formula", "g"))]
    return max(used, default=-1) + 1


def _jar_of(name: str, state: State, library: Library) -> str | None:
    """The newest open jar of a reagent, by its name or formula."""
    known = library.reagents.get(name) or library.reagent(name)
    found = None
    for thing in state.open_things("jar"):
        opened = state.slot(thing, "jar.opened").body
        if opened is not None and (opened.formula == name or (known is not None and opened.reagent == known.slug)):
            found = thing
    return found
