"""The short kinds: molar mass, fix-up, fill, code, blend, oil, settle, wash."""

from collections.abc import Callable
from typing import Any

import pytest

from bench.science.codes import is_valid
from tests.science.tables import rows

Answer = Callable[..., dict[str, Any]]
Refused = Callable[..., tuple[str, str | None]]


@pytest.mark.parametrize("row", rows("molar_masses.csv"), ids=lambda row: row["formula"])
def test_published_molar_mass(answer: Answer, row: dict[str, str]) -> None:
    found = answer("molar-mass", formula=row["formula"])
    assert abs(found["molar_mass_g_mol"] - float(row["g_mol"])) <= float(row["tolerance_g_mol"])
    assert found["molar_mass_low_g_mol"] <= found["molar_mass_g_mol"] <= found["molar_mass_high_g_mol"]


@pytest.mark.parametrize("row", rows("refused_formulas.csv"), ids=lambda row: row["formula"] or "empty")
def test_refused_formula(refused: Refused, row: dict[str, str]) -> None:
    assert refused("molar-mass", formula=row["formula"])[1] == "formula"


def test_molar_mass_only_computes(answer: Answer) -> None:
    assert answer("molar-mass", formula="Pb3O4")["elements"] == {"Pb": 3, "O": 4}
    assert answer("molar-mass", formula="Fe0.947O")["elements"] == {"Fe": 0.947, "O": 1}


def test_fix_up(answer: Answer, refused: Refused) -> None:
    found = answer("fix-up", planned_g=[7.21, 1.83, 17.51], weighed_g=[7.21, 2.013, None])
    assert found["product_factor"] == pytest.approx(1.1)
    assert found["rescaled_g"] == [None, None, pytest.approx(19.261)]
    assert found["top_up_g"] == [pytest.approx(0.721), None, None]
    assert refused("fix-up", planned_g=[1, 2], weighed_g=[1])[1] == "weighed_g"
    assert refused("fix-up", planned_g=[0], weighed_g=[1])[1] == "planned_g[0]"
    assert refused("fix-up", planned_g=[1], weighed_g=["x"])[1] == "weighed_g[0]"


@pytest.mark.parametrize(("kind", "limit"), [("quiet", 66.7), ("carbonate", 50), ("froths", 20), ("alum", 10)])
def test_fill(answer: Answer, kind: str, limit: float) -> None:
    found = answer("fill", charge_g=12, bulk_density_g_ml=0.6, crucible_ml=50, kind=kind)
    assert found["fill_pct"] == pytest.approx(40)
    assert found["limit_pct"] == limit
    assert found["fits"] is (limit >= 40)
    assert answer("fill", charge_g=found["up_to_g"], bulk_density_g_ml=0.6, crucible_ml=50, kind=kind)["fits"]


def test_fill_is_quiet_unless_told_otherwise(answer: Answer, refused: Refused) -> None:
    assert answer("fill", charge_g=0, bulk_density_g_ml=0.6, crucible_ml=50)["limit_pct"] == 66.7
    assert refused("fill", charge_g=1, bulk_density_g_ml=0, crucible_ml=50)[1] == "bulk_density_g_ml"
    assert refused("fill", charge_g=1, bulk_density_g_ml=1, crucible_ml=50, kind="loud")[1] == "kind"


def test_new_codes(answer: Answer, refused: Refused) -> None:
    codes = answer("code", new=50)["codes"]
    assert len(set(codes)) == 50
    assert all(is_valid(code) and len(code) == 6 for code in codes)
    assert refused("code", new=0)[1] == "new"
    assert refused("code")[1] == "new"
    assert refused("code", new=1, check="T5C7HJ")[1] == "new"


@pytest.mark.parametrize(
    ("typed", "valid", "normalised", "why"),
    [
        ("T5C7H-J", True, "T5C7HJ", "fits"),
        (" t5c7hj", True, "T5C7HJ", "fits"),
        ("T5C7JH", False, "T5C7JH", "two are swapped"),
        ("T5C7HK", False, "T5C7HK", "wrong"),
        ("T5C7HO", False, None, "Is it 0?"),
        ("T5C7H", False, None, "6 characters"),
        ("T5C7H*", False, None, "not allowed"),
    ],
)
def test_check_codes(answer: Answer, typed: str, valid: bool, normalised: str | None, why: str) -> None:
    found = answer("code", check=typed)
    assert (found["valid"], found["normalised"]) == (valid, normalised)
    assert why in found["why"]


def test_a_letter_for_a_digit_is_resolved_in_words(answer: Answer) -> None:
    code = next(each for each in answer("code", new=1000)["codes"] if "0" in each)
    found = answer("code", check=code.replace("0", "O"))
    assert not found["valid"]
    assert code in found["why"]


def test_line_blend(answer: Answer) -> None:
    corners = [{"ZnO": 8.14, "Fe2O3": 15.97}, {"MgO": 4.03, "Fe2O3": 15.97}]
    points = answer("blend", corners=corners, steps=10)["points"]
    assert len(points) == 11
    middle = next(point for point in points if point["fractions"] == [0.5, 0.5])
    assert middle["amounts_g"] == pytest.approx({"ZnO": 4.07, "Fe2O3": 15.97, "MgO": 2.015})
    for point in points:
        assert sum(point["fractions"]) == pytest.approx(1)


def test_triaxial_blend_of_targets(answer: Answer) -> None:
    points = answer("blend", corners=["ZnFe2O4", "zinc-iron-titanate-tan", {"target": "MgFe2O4", "g": 50}], steps=5)[
        "points"
    ]
    assert len(points) == 21
    assert points[0]["amounts_g"]["MgFe2O4"] == pytest.approx(50)
    assert points[-1]["amounts_g"] == pytest.approx({"ZnFe2O4": 100, "zinc-iron-titanate-tan": 0, "MgFe2O4": 0})


@pytest.mark.parametrize(
    ("corners", "steps", "field"),
    [
        ([{"ZnO": 1}], 4, "corners"),
        ([{"ZnO": 1}, {"CoO": "x"}], 4, "corners[1].CoO"),
        ([{"ZnO": 1}, {"Xx": 1}], 4, "corners[1].Xx"),
        ([{"ZnO": 1}, {}], 4, "corners[1]"),
        ([{"ZnO": 1}, 3], 4, "corners[1]"),
        ([{"ZnO": 0}, {"CoO": 1}], 4, "corners[0]"),
        ([{"ZnO": 1}, {"CoO": 1}], 0, "steps"),
        ([{"KNO3": 1}, {"C": 1}], 4, "corners"),
        ([{"CdO": 1}, {"ZnO": 1}], 4, "corners"),
    ],
)
def test_blends_refused(refused: Refused, corners: list[Any], steps: int, field: str) -> None:
    assert refused("blend", corners=corners, steps=steps)[1] == field


def test_oil(answer: Answer, refused: Refused) -> None:
    """ISO 787-5 (from memory): 3.2 mL on 10.0 g are 32.0 mL, 29.76 g."""
    found = answer("oil", pigment_g=10, oil_ml=3.2)
    assert (found["ml_per_100g"], found["g_per_100g"]) == (pytest.approx(32.0), pytest.approx(29.76))
    by_mass = answer("oil", pigment_g=10, oil_g=2.976)
    assert by_mass["ml_per_100g"] == pytest.approx(32.0)
    assert refused("oil", pigment_g=10)[1] == "oil_ml"
    assert refused("oil", pigment_g=0, oil_ml=1)[1] == "pigment_g"


def test_settle(answer: Answer, refused: Refused) -> None:
    assert answer("settle", diameter_um=5, density_kg_m3=4420, depth_mm=100)["min"] == pytest.approx(35.83, abs=0.05)
    assert answer("settle", diameter_um=2, density_kg_m3=2650, depth_mm=100)["min"] == pytest.approx(463.9, rel=0.002)
    warm = answer("settle", diameter_um=5, density_kg_m3=4420, depth_mm=100, c=40)
    assert warm["min"] < 25
    assert refused("settle", diameter_um=70, density_kg_m3=2650, depth_mm=100)[1] == "diameter_um"
    assert refused("settle", diameter_um=5, density_kg_m3=990, depth_mm=100)[1] == "density_kg_m3"


def test_wash(answer: Answer, refused: Refused) -> None:
    assert answer("wash", salt_g=20, left_fraction=0.2, count=4)["salt_left_g"] == pytest.approx(0.032)
    assert answer("wash", salt_g=20, left_fraction=0.2, count=0)["salt_left_g"] == 20
    assert refused("wash", salt_g=20, left_fraction=1.2, count=4)[1] == "left_fraction"
    assert refused("wash", salt_g=20, left_fraction=0.2, count=2.5)[1] == "count"
