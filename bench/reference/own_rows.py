"""Lays the maker's own rows (reagents, targets, cards, ware, gases, limits) over the Library.

The files are never edited.
"""

from collections.abc import Iterable, Mapping
from dataclasses import fields, replace
from hashlib import blake2b
from json import dumps
from math import isfinite
from typing import Any, get_args, get_origin

from bench.reference.cautions import HazardCard
from bench.reference.dust import with_own_limit
from bench.reference.library import Library, composition
from bench.reference.limits import with_limit
from bench.reference.names import reagent_names, target_names
from bench.reference.provenance import BASES, OWN, Row
from bench.reference.surroundings import FRACTIONS, DustLimit, Gas, Limit, Ware
from bench.reference.tables import READERS
from bench.reference.things import Reagent, Target
from bench.science.evolution import GASES
from bench.translation import _

TABLES: Mapping[str, type[Row]] = {
    "reagents": Reagent,
    "targets": Target,
    "hazards": HazardCard,
    "gases": Gas,
    "ware": Ware,
}
"""The tables that a maker's own row may stand in, besides `limits` (a limit of one gas, whose slug is the gas)."""

NOT_TYPED = {"slug", "own", "limits", "basis", "basis_note", "field_basis", "claims"}


def read_value(kind: Any, value: Any) -> Any:
    """A value of a maker's row as the field's type; a number that is not finite does not fit."""
    found = read_any(kind, value)
    if isinstance(found, float) and not isfinite(found):
        raise ValueError(f"{value!r} is no number to reckon with")
    return found


def read_any(kind: Any, value: Any) -> Any:
    """A value of a maker's row (from JSON or as typed) as the field's type.

    Raises ValueError or TypeError where it does not fit.
    """
    parts = get_args(kind)
    if get_origin(kind) is tuple and parts and isinstance(parts[0], type) and parts[0] is not str:
        return tuple(read_part(parts[0], each) for each in value)
    if isinstance(value, str):
        return READERS[kind](value)
    if kind == tuple[str, ...]:
        return tuple(str(each) for each in value)
    if kind == Mapping[str, float]:
        return {str(name): float(count) for name, count in value.items()}
    if kind is bool:
        return bool(value)
    if kind is str:
        return str(value)
    if value is None and type(None) in parts:
        return None
    return int(value) if kind in (int, int | None) else float(value)


def read_part(kind: type, value: Mapping[str, Any]) -> Any:
    """One part of a row (a gas step, a route, a sign …) from its JSON object."""
    types = {each.name: each.type for each in fields(kind)}
    return kind(**{name: read_value(types[name], each) for name, each in value.items()})


def read_fields(kind: type[Row], row: Mapping[str, Any]) -> tuple[dict[str, Any], list[str]]:
    """The fields of a maker's row that fit, and the names of those that do not."""
    types = {each.name: each.type for each in fields(kind) if each.name not in NOT_TYPED}
    values: dict[str, Any] = {}
    unfit: list[str] = []
    for name, value in row.items():
        try:
            values[name] = read_value(types[name], value)
        except (KeyError, TypeError, ValueError, AttributeError, OverflowError):
            unfit.append(str(name))
    for name in unreadable(values) if kind is Reagent else ():
        del values[name]
        unfit.append(name)
    return values, unfit


def unreadable(values: Mapping[str, Any]) -> list[str]:
    """The fields of a reagent's row that hold a formula or a gas which nothing can reckon with."""
    told = {name: (values[name],) for name in ("formula", "residue_formula", "assay_formula") if values.get(name)}
    told |= {"hydrates": values["hydrates"]} if values.get("hydrates") else {}
    found = [name for name, texts in told.items() if any(composition(text) is None for text in texts)]
    steps = values.get("gas_steps") or ()
    return [*found, "gas_steps"] if any(each.gas not in GASES for each in steps) else found


def laid(old: Row | None, kind: type[Row], slug: str, values: dict[str, Any], ground: str) -> Row:
    """The row with the maker's fields over it, marked as the maker's; a new row where none stood."""
    basis = ground if ground in BASES else OWN
    note = "" if ground in BASES else ground
    if old is None:
        return kind(slug=slug, own=True, basis=basis, basis_note=note, **values)  # type: ignore[call-arg]
    field_basis = {**old.field_basis, **dict.fromkeys(values, basis)}
    return replace(old, own=True, field_basis=field_basis, basis_note=note or old.basis_note, **values)


def over(library: Library, cards: Iterable[Mapping[str, Any]]) -> Library:
    """A Library with the maker's rows laid over it, in the order given; a later one wins.

    Each card is the data of a changed card: `table`, `slug`, `row` {field: value} and `basis` (one of `BASES`, or
    words). What does not fit is left out and named in `troubles`; nothing is raised, because these are records.
    """
    tables: dict[str, dict[str, Any]] = {
        "reagents": dict(library.reagents),
        "targets": dict(library.targets),
        "hazards": dict(library.hazards),
        "gases": dict(library.gases),
        "ware": dict(library.ware),
    }
    troubles = list(library.troubles)
    digest = blake2b(library.revision.encode(), digest_size=6)
    seen = False
    for card in cards:
        seen = True
        digest.update(dumps(card, sort_keys=True, default=str).encode())
        trouble = lay_one(tables, card)
        if trouble:
            troubles.append(trouble)
    if not seen:
        return library
    return replace(
        library,
        reagents=tables["reagents"],
        targets=tables["targets"],
        hazards=tables["hazards"],
        gases=tables["gases"],
        ware=tables["ware"],
        troubles=tuple(troubles),
        revision=digest.hexdigest(),
        reagent_names=reagent_names(tables["reagents"]),
        target_names=target_names(tables["targets"]),
    )


def lay_one(tables: dict[str, dict[str, Any]], card: Mapping[str, Any]) -> str:
    """Lays one card over the tables in place; gives a sentence about what did not fit, or an empty text."""
    table, slug = str(card.get("table", "")), str(card.get("slug", ""))
    row = card.get("row")
    if not slug or not isinstance(row, Mapping) or (table != "limits" and table not in TABLES):
        return _(
            "Your row ({table}, {row}) cannot be read and is not used.",
            table=table or _("no table"),
            row=slug or _("no name"),
        )
    if table == "limits":
        ground = str(card.get("basis", OWN))
        if slug not in tables["gases"] and slug in tables["hazards"]:
            return lay_dust_limit(tables["hazards"], slug, row, ground)
        return lay_limit(tables["gases"], slug, row, ground)
    values, unfit = read_fields(TABLES[table], row)
    old = tables[table].get(slug)
    if isinstance(old, HazardCard) and old.flag == "refuse" and values.pop("flag", "refuse") != "refuse":
        # What the bench refuses cannot be allowed by writing a milder card.
        unfit.append("flag")
    try:
        tables[table][slug] = laid(old, TABLES[table], slug, values, str(card.get("basis") or OWN))
    except TypeError:
        return _(
            "Your row {slug} in {table} lacks a name or a formula and is not used.",
            slug=slug,
            table=table,
        )
    return (
        _(
            "In your row {slug} ({table}) these are wrong and not used: {unfit}.",
            slug=slug,
            table=table,
            unfit=", ".join(unfit),
        )
        if unfit
        else ""
    )


def lay_limit(gases: dict[str, Any], slug: str, row: Mapping[str, Any], ground: str) -> str:
    """Lays one limit of the maker's own over a gas; gives a sentence where it does not fit, or an empty text."""
    gas = gases.get(slug)
    if gas is None:
        return _("Your limit for {slug} is not used: there is no gas of that name.", slug=slug)
    try:
        limit = read_part(Limit, row)
    except (KeyError, TypeError, ValueError, AttributeError, OverflowError):
        return _("Your limit for {slug} is not used: type name, number, unit and body.", slug=slug)
    if limit.value <= 0 or limit.unit not in ("ppm", "mg/m3"):
        return _("Your limit for {slug} is not used: type a number above 0, ppm or mg/m³.", slug=slug)
    gases[slug] = with_limit(gas, replace(limit, basis=ground if ground in BASES else OWN))
    return ""


def lay_dust_limit(cards: dict[str, Any], slug: str, row: Mapping[str, Any], ground: str) -> str:
    """Lays one limit of the maker's own over a hazard card; gives a sentence where it does not fit, or nothing."""
    try:
        limit = read_part(DustLimit, row)
    except (KeyError, TypeError, ValueError, AttributeError, OverflowError):
        return _("Your limit for {slug} is not used: type name, number, unit and body.", slug=slug)
    if limit.value <= 0 or limit.unit not in ("ppm", "mg/m3", "f/ml") or limit.fraction not in FRACTIONS:
        return _("Your limit for {slug} is not used: type a number above 0, ppm, mg/m³ or f/mL.", slug=slug)
    cards[slug] = with_own_limit(cards[slug], replace(limit, basis=ground if ground in BASES else OWN))
    return ""
