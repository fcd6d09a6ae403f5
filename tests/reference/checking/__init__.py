"""Checks every row of the reference data and says in plain words what is wrong with it."""

from bench.reference.library import Library
from tests.reference.checking.cautions import check_cautions
from tests.reference.checking.common import check_grounds
from tests.reference.checking.reagents import check_reagents
from tests.reference.checking.surroundings import check_surroundings
from tests.reference.checking.targets import check_targets

__all__ = ["check"]


def check(library: Library) -> list[str]:
    """One sentence for each thing that is wrong; an empty list where all is well."""
    return [
        *check_grounds(library),
        *check_reagents(library),
        *check_targets(library),
        *check_cautions(library),
        *check_surroundings(library),
    ]
