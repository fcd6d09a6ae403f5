"""Where a fact comes from: the ground of a row or of one of its fields, and the sources that it names."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

READ = "read"
READ_PART = "read-part"
MIXED = "mixed"
COMPUTED = "computed"
PROJECT_DEFAULT = "project-default"
MEMORY = "memory"
OWN = "own"

BASES: Mapping[str, str] = MappingProxyType(
    {
        READ: "read in the named source",
        READ_PART: "read in part; the rest is from memory",
        MIXED: "partly read, partly from memory",
        COMPUTED: "computed from the formula or from other fields",
        PROJECT_DEFAULT: "our own default, not the rule of any body",
        MEMORY: "from memory: confirm it before you rely on it",
        OWN: "entered by you",
    }
)
"""Every ground that a row may state, with the words that a screen shows for it."""


@dataclass(frozen=True, kw_only=True)
class Claim:
    """What was read of one thing, in our words, with its sources and the fields that it supports wholly or in part."""

    says: str
    sources: tuple[str, ...]
    read_fields: tuple[str, ...] = ()
    part_fields: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Row:
    """What every row of the reference data carries beside its facts.

    `basis` is one of `BASES` and holds for each field that `field_basis` does not name; `basis_note` adds words.
    `claims` say what was read where. `sources` are keys of the library's sources. `own` is true for a row that the
    maker entered or changed.
    """

    basis: str = MEMORY
    basis_note: str = ""
    sources: tuple[str, ...] = ()
    own: bool = False
    claims: tuple[Claim, ...] = ()
    field_basis: Mapping[str, str] = field(default_factory=dict, repr=False)


@dataclass(frozen=True, kw_only=True)
class Source:
    """One source: `kind` is `published`, `own-rule` (our own default) or `memory` (recalled, not read again)."""

    key: str
    title: str
    kind: str = "published"


def basis_of(row: Row, field_name: str = "") -> str:
    """The ground of one field of a row, or of the row as a whole when no field is named."""
    return row.field_basis.get(field_name, row.basis)


def is_from_memory(row: Row, field_name: str = "") -> bool:
    """Whether a screen must mark this field (or the whole row, when no field is named) as remembered only.

    A field that a row with a mixed ground does not name counts as remembered: what cannot be shown to be read is not
    taken as read.
    """
    basis = basis_of(row, field_name)
    if not field_name:
        return basis == MEMORY and READ not in row.field_basis.values()
    return basis in (MEMORY, MIXED, READ_PART)


def claims_for(row: Row, field_name: str) -> tuple[Claim, ...]:
    """What was read that supports one field, wholly or in part."""
    return tuple(each for each in row.claims if field_name in each.read_fields + each.part_fields)


def grounds(shared: Mapping[str, str], claims: tuple[Claim, ...], read_fields: tuple[str, ...]) -> dict[str, str]:
    """The ground of each field that has one of its own: what holds for the whole table, then what was read in part,
    then wholly.
    """
    found = dict(shared)
    for each in claims:
        for name in each.part_fields:
            if found.get(name) != READ:
                found[name] = MIXED
        found.update(dict.fromkeys(each.read_fields, READ))
    found.update(dict.fromkeys(read_fields, READ))
    return found
