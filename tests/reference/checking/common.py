"""Checks that hold for rows of every table, and the small checks that the others share."""

from collections.abc import Iterable, Iterator
from dataclasses import fields

from bench.reference.library import Library
from bench.reference.provenance import BASES, Row
from bench.science.formulas import Formula

MASS_TOLERANCE_G_MOL = 0.03


def one_of(who: str, field: str, value: str, allowed: Iterable[str]) -> Iterator[str]:
    """A sentence where the value is not one of those allowed."""
    if value not in tuple(allowed):
        yield f"{who}: {field} is {value!r}, which is none of the known words."


def in_order(who: str, field: str, low: float | None, high: float | None) -> Iterator[str]:
    """A sentence where the low end of a range is above its high end, or only one end is given."""
    if (low is None) != (high is None):
        yield f"{who}: {field} has only one of its two ends."
    elif low is not None and high is not None and low > high:
        yield f"{who}: {field} runs from {low:g} down to {high:g}."


def mass_agrees(who: str, formula: Formula, stated_g_mol: float | None) -> Iterator[str]:
    """A sentence where the stated molar mass is missing or more than 0.03 g/mol from that of the formula."""
    if stated_g_mol is None:
        yield f"{who}: no molar mass is stated."
    elif abs(formula.molar_mass_g_mol - stated_g_mol) > MASS_TOLERANCE_G_MOL:
        yield f"{who}: molar mass {stated_g_mol} stated, {formula.molar_mass_g_mol:.3f} by the formula."


def all_rows(library: Library) -> Iterator[tuple[str, Row]]:
    """Every row that states its ground, with the words that name it."""
    tables = ("targets", "reagents", "hazards", "gases", "ware", "rules", "statements", "advice")
    for table in tables:
        for slug, row in getattr(library, table).items():
            yield f"{table} {slug}", row
    for oxide in library.oxides_in_air:
        yield f"oxide {oxide.slug}", oxide
    for item in library.checklists:
        yield f"checklist {item.slug}", item


def check_grounds(library: Library) -> Iterator[str]:
    """Every row states a known ground and sources that resolve; what was read names a source; no remark points at a
    missing field.
    """
    for who, row in all_rows(library):
        names = {each.name for each in fields(row)}
        for basis in (row.basis, *row.field_basis.values()):
            yield from one_of(who, "basis", basis, BASES)
        for name in row.field_basis:
            if name not in names:
                yield f"{who}: a ground is stated for {name}, which is no field."
        claimed = {key for claim in row.claims for key in claim.sources}
        for key in (*row.sources, *claimed):
            if key not in library.sources:
                yield f"{who}: the source {key!r} is not in the list of sources."
        if row.basis in ("read", "read-part", "mixed") and not row.sources:
            yield f"{who}: something was read, yet no source is named."
    for key, source in library.sources.items():
        yield from one_of(f"source {key}", "kind", source.kind, ("published", "own-rule", "memory"))
