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
class Row:
    """What every row of the reference data carries beside its facts.

    `basis` is one of `BASES` and holds for each field that `field_basis` does not name; `basis_note` and
    `field_notes` say in words what was read where. `sources` are keys of the library's sources. `own` is true for a
    row that the maker entered.
    """

    basis: str = MEMORY
    basis_note: str = ""
    sources: tuple[str, ...] = ()
    own: bool = False
    field_basis: Mapping[str, str] = field(default_factory=dict, repr=False)
    field_notes: Mapping[str, str] = field(default_factory=dict, repr=False)


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
        return basis == MEMORY and not any(each == READ for each in row.field_basis.values())
    return basis in (MEMORY, MIXED, READ_PART)
