"""Limits of exposure to a dust, fume or vapour of a substance, by the form that each limit is set for."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from bench.reference.cautions import HazardCard
from bench.reference.provenance import READ, READ_PART, basis_of
from bench.reference.surroundings import DustLimit

NAMES = {"8h": "8 hours", "short": "15 minutes", "ceiling": "ceiling", "danger": "danger to life or health"}
Key = tuple[str, str]


def dust_limits(found: Iterable[Mapping[str, str]]) -> dict[Key, tuple[DustLimit, ...]]:
    """The rows of the table by where they are noted: the field of a card, and its words."""
    gathered: dict[Key, tuple[DustLimit, ...]] = {}
    for row in found:
        key = (row["noted_in"], row["words"])
        gathered[key] = (*gathered.get(key, ()), _limit(row))
    return gathered


def _limit(row: Mapping[str, str]) -> DustLimit:
    return DustLimit(
        name=NAMES[row["period"]], value=float(row["value"]), unit=row["unit"], body=row["body"],
        year=int(row["year"]) if row["year"] else None, period=row["period"], counted_as=row["counted_as"],
        words=row["words"], form=row["form"], fraction=row["fraction"], basis=row["basis"], source=row["source"],
    )  # fmt: skip


def with_limits(card: HazardCard, noted: Mapping[Key, tuple[DustLimit, ...]]) -> HazardCard:
    """The card with the figures of the limits that it notes in words.

    Each stands on the better of two grounds: its own in the table, and that of the card's field.
    """
    found = [
        replace(limit, basis=better(limit.basis, basis_of(card, column)))
        for (column, words), limits in noted.items()
        if getattr(card, column) == words
        for limit in limits
    ]
    return replace(card, limits=tuple(found))


def better(own: str, of_field: str) -> str:
    """The better ground of two: read, then read in part."""
    if READ in (own, of_field):
        return READ
    return own if own == READ_PART else of_field


def with_own_limit(card: HazardCard, limit: DustLimit) -> HazardCard:
    """The card with this limit in the place of one by the same body for the same form and time, or beside them."""

    def key(each: DustLimit) -> tuple[str, ...]:
        return each.body, each.period, each.form, each.fraction

    return replace(card, limits=(*(each for each in card.limits if key(each) != key(limit)), limit))
