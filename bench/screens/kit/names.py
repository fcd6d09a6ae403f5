"""What things are called on a screen: reagents by their name in the library, formulas with their subscripts."""

from typing import Any

from bench.records.kinds import Line
from bench.records.state import State
from bench.reference import Library
from bench.reference.names import plain


def reagent_name(text: str, library: Library) -> str:
    """The library's name for a slug, a name or a formula; the text itself where it knows none."""
    known = library.reagent(text)
    return known.name if known is not None else text


def slug_words(field: str, slug: str, library: Library) -> str:
    """What a field that holds a slug of the library shows: the row's name, where the name leads back to that slug."""
    rows: dict[str, Any] = {"reagent": library.reagents, "target": library.targets}
    row = rows.get(field, {}).get(slug)
    if field == "ware" and slug in library.ware:
        return slug.replace("-", " ")
    return row.name if row is not None and slug_typed(field, row.name, library) == slug else slug


def slug_typed(field: str, typed: str, library: Library) -> str:
    """The slug that a typed name means in a field that holds one; what the library does not know stays as typed."""
    if field == "ware":
        slug = typed.strip().replace(" ", "-")
        return slug if slug in library.ware else typed
    found = {"reagent": library.reagent, "target": library.target}.get(field)
    row = found(typed) if found is not None else None
    return row.slug if row is not None and plain(row.name) == plain(typed) else typed


def line_name(line: Line, state: State, library: Library) -> str:
    """What a line of a batch is called: as planned, else as its jar says, else its formula."""
    opened: Any = state.slot(line.jar, "jar.opened").body if line.jar else None
    return reagent_name(line.name or (opened.reagent if opened else "") or line.formula, library)
