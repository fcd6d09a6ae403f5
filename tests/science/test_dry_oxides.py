"""Which oxides count as dry as they are: held against what the reference data says of each reagent."""

import pytest

from bench.reference import load_library
from bench.science.dry_oxides import stays_dry


def test_no_reagent_that_takes_up_water_counts_as_dry() -> None:
    """Of all rows of the library; those that take up a trace may."""
    rows = load_library().reagents.values()
    found = {row.formula for row in rows if stays_dry(row.formula)}
    assert {"ZnO", "Fe2O3", "TiO2", "Co3O4"} <= found
    assert not [row.slug for row in rows if stays_dry(row.formula) and row.hygroscopic == "yes"]


@pytest.mark.parametrize("formula", ["MgO", "CaO", "La2O3", "B2O3", "Al2O3", "SiO2", "Zn", "O2", "ZnO*0.5H2O", "FeOOH"])
def test_what_holds_or_takes_up_water_does_not(formula: str) -> None:
    assert not stays_dry(formula)


@pytest.mark.parametrize("formula", ["", "nonsense", "CuSO4*5H2O", "Na2CO3"])
def test_what_is_no_oxide_or_cannot_be_read_does_not(formula: str) -> None:
    assert not stays_dry(formula)
