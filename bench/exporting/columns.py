"""Which column of a file is which field: guessed by the words of its head, chosen by the maker."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bench.exporting.cells import joined
from bench.science.refusal import Refusal
from bench.translation import _


@dataclass(frozen=True)
class Field:
    """A field that a file may bring: its name here, and words by which a column's head may name it."""

    name: str
    heads: tuple[str, ...]
    required: bool = False


JARS = (
    Field("reagent", ("reagent", "name", "chemical", "material", "product", "raw material")),
    Field("formula", ("formula",)),
    Field("hydrate_known", ("water known", "hydrate known")),
    Field("lot", ("lot", "batch no", "charge no")),
    Field("assay_pct", ("assay", "purity", "content %")),
    Field("net_g", ("held", "net", "mass", "weight", "quantity", "amount", "grams", "left")),
    Field("price", ("price", "cost")),
    Field("supplier", ("supplier", "vendor", "source")),
)
RECIPES = (
    Field("recipe", ("recipe", "batch", "name of the recipe", "title"), required=True),
    Field("reagent", ("reagent", "material", "chemical", "ingredient", "formula", "name"), required=True),
    Field("g", ("grams", "mass", "weight", "amount", "parts", "quantity", "planned", "g"), required=True),
    Field("target", ("target", "product", "phase")),
)
KINDS: dict[str, tuple[Field, ...]] = {"jars": JARS, "recipes": RECIPES}
NONE = "-"


def guess(head: Sequence[str], fields: Sequence[Field]) -> dict[str, int]:
    """The column of each field, where a head names it: as the whole head, else at its start, else inside it."""
    words = [one.partition("[")[0].strip().casefold().replace("_", " ") for one in head]
    found: dict[str, int] = {}
    for like in (str.__eq__, str.startswith, str.__contains__):
        for field in fields:
            if field.name in found:
                continue
            for name in field.heads:
                at = next((n for n, word in enumerate(words) if n not in found.values() and like(word, name)), None)
                if at is not None:
                    found[field.name] = at
                    break
    return found


def picked(rows: Sequence[Sequence[str]], chosen: Mapping[str, int], fields: Sequence[Field]) -> list[dict[str, str]]:
    """The rows below the head by the names of fields. Refusal where a field that must be there has no column."""
    missing = [field.name for field in fields if field.required and field.name not in chosen]
    if missing:
        raise Refusal(_("Choose the column of {missing}.", missing=missing[0]), f"column.{missing[0]}")
    order = list(chosen)
    cells = [[row[chosen[name]].strip() if chosen[name] < len(row) else "" for name in order] for row in rows[1:]]
    return joined(cells, order)
