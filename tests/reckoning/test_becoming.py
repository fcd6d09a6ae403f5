"""What a mortar can become without a target: the ratio of its metals, and the known targets by their fit."""

import pytest

from bench.reckoning.becoming import fits, metals_mol, ratio
from bench.reference import load_library

LIBRARY = load_library()


def test_the_ratio_is_of_the_metals_alone() -> None:
    # By hand: 5 g ZnO are 61.44 mmol, 11 g Fe2O3 are 137.77 mmol of Fe.
    mol = metals_mol([{"formula": "ZnO", "g": 5.0}, {"formula": "Fe2O3", "g": 11.0}])
    assert ratio(mol) == pytest.approx({"Zn": 1.0, "Fe": 137.77 / 61.44}, rel=1e-4)
    flux = {"formula": "Na2CO3", "g": 1.0, "fate": "washed-out"}
    half = {"formula": "ZnO", "g": 5.0, "assay_pct": 50.0}
    assert metals_mol([half, flux]) == pytest.approx({"Zn": 0.03072}, rel=1e-3)


def test_the_best_fit_stands_first_with_what_stays_over() -> None:
    best, *others = fits([{"formula": "ZnO", "g": 5.0}, {"formula": "Fe2O3", "g": 11.0}], LIBRARY)
    assert best.formula == "ZnFe2O4" and best.pct == pytest.approx(92.57, abs=0.01)
    # By hand: zinc takes 9.811 g of the iron oxide (159.687 / 81.379 · 5), 1.189 g stays.
    assert best.left == (("Fe2O3", pytest.approx(1.1885, abs=5e-4), None),)
    lacking = next(one for one in others if one.missing_g and one.formula == "Zn1.5FeTi0.5O4")
    # By hand: zinc is for 40.96 mmol of it, so 20.48 mmol Ti · 47.867 g/mol.
    assert lacking.missing_g == (("Ti", pytest.approx(0.9803, abs=2e-4)),)


def test_what_cannot_be_read_fits_nothing() -> None:
    assert fits([{"formula": "??", "g": 1.0}], LIBRARY) == [] and fits([], LIBRARY) == []
