"""What things are called on a screen: reagents by their name in the library, formulas with their subscripts."""

from typing import Any

from bench.reference import Library
from bench.workshop.kinds import Line
from bench.workshop.state import State


def reagent_name(text: str, library: Library) -> str:
    """The library's name for a slug, a name or a formula; the text itself where it knows none."""
    known = library.reagent(text)
    return known.name if known is not None else text


def line_name(line: Line, state: State, library: Library) -> str:
    """What a line of a batch is called: as planned, else as its jar says, else its formula."""
    opened: Any = state.slot(line.jar, "jar.opened").body if line.jar else None
    return reagent_name(line.name or (opened.reagent if opened else "") or line.formula, library)
