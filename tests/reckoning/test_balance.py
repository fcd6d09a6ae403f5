"""From grams to what they can become."""

from collections.abc import Callable
from math import log10
from typing import Any

import pytest

from bench.reference.library import Library

Answer = Callable[..., dict[str, Any]]
Refused = Callable[..., tuple[str, str | None]]


def weighed(**grams: float) -> list[dict[str, Any]]:
    return [{"formula": text, "g": g} for text, g in grams.items()]


def test_equal_grams_are_far_from_the_ratio(answer: Answer) -> None:
    """By hand from the abridged atomic weights (IUPAC 2021): FeOOH 88.851, TiO2 79.865, Fe2TiO5 239.552 g/mol."""
    found = answer("balance", weighed=weighed(FeOOH=5, TiO2=5), target="Fe2TiO5", c=1000)
    iron, titanium = 5000 / 88.851, 5000 / 79.865
    target_g, left_g = iron / 2 * 0.239552, (titanium - iron / 2) * 0.079865
    assert found["limiting"] == "Fe"
    assert found["target_g"] == pytest.approx(target_g, abs=0.002)
    (left,) = found["left_over"]
    assert left["oxide"] == "TiO2"
    assert left["g"] == pytest.approx(left_g, abs=0.002)
    assert left["colour_hint"] == "white; yellow when hot"
    assert found["ratio_target"] == {"Fe": 2, "Ti": 1}
    assert found["ratio_actual"]["Ti"] == pytest.approx(2 * titanium / iron, abs=0.001)
    assert found["target_fraction_pct"] == pytest.approx(100 * target_g / (target_g + left_g), abs=0.05)
    assert found["cations_mmol"] == pytest.approx({"Fe": iron, "Ti": titanium}, rel=1e-3)


def test_a_printed_recipe_with_too_much_cobalt(answer: Answer) -> None:
    """Preparative sheet: Thenards Blau (read): CoO 2.44 g stated as 30 mmol; computed: 32.56 mmol, 8.5 % too much."""
    found = answer("balance", weighed=weighed(CoO=2.44, Al2O3=3.06), target="CoAl2O4", c=1000)
    assert found["cations_mmol"]["Co"] == pytest.approx(32.56, abs=0.01)
    assert found["limiting"] == "Al"
    assert found["target_g"] == pytest.approx(5.31, abs=0.005)
    assert found["left_over"][0]["oxide"] == "CoO"


def test_the_exchanged_carbonate_is_in_ratio(answer: Answer) -> None:
    """The same sheet: CoCO3 3.6 g = 30.27 mmol with Al2O3 30.01 mmol."""
    found = answer("balance", weighed=weighed(CoCO3=3.6, Al2O3=3.06), target="CoAl2O4")
    assert found["cations_mmol"] == pytest.approx({"Co": 30.27, "Al": 60.02}, abs=0.01)
    assert found["ratio_actual"]["Al"] == pytest.approx(1.983, abs=0.002)


@pytest.mark.parametrize(
    ("element", "reagent", "c", "oxide"),
    [
        ("Co", "CoO", 850, "Co3O4"),
        ("Co", "CoO", 950, "CoO"),
        ("Cu", "CuO", 900, "CuO"),
        ("Cu", "CuO", 1100, "Cu2O"),
        ("Mn", "MnO2", 500, "MnO2"),
        ("Mn", "MnO2", 870, "Mn2O3"),
        ("Mn", "MnO2", 900, "Mn3O4"),
        ("Mn", "MnO2", 1050, "Mn3O4"),
        ("Ba", "BaCO3", 900, "BaCO3"),
        ("Cu", "CuO", 1229, "Cu2O"),
        ("Cu", "CuO", 1231, "Cu2O"),
        ("Cu", "CuO", 1300, "Cu2O"),
        ("Na", "Na2CO3", 1000, "Na2CO3"),
        ("K", "K2CO3", 1200, "K2CO3"),
        ("Li", "Li2CO3", 900, "Li2CO3"),
    ],
)
def test_the_oxide_that_stands_there(answer: Answer, element: str, reagent: str, c: float, oxide: str) -> None:
    """Manganese at 884 °C in air (measured line of 1960), 570 °C on quick heating; CuO at 1024 to 1032, Co3O4 at 898 °C
    (JANAF); Cu2O stays the lower oxide as a melt above 1244 °C; alkali carbonates outlast their melting point.
    """
    mortar = [{"formula": reagent, "g": 10}, {"formula": "SiO2", "g": 0.1}]
    found = answer("balance", weighed=mortar, target=f"{element}SiO3", c=c)
    (left,) = found["left_over"]
    assert left["oxide"] == oxide
    assert left["colour_hint"]
    assert sum(each["g"] for each in found["evolved"]) == pytest.approx(found["charge_g"] - found["fired_g"], abs=1e-9)


def mn2o3_ends_c(o2_atm: float) -> float:
    """The measured line of 1960: log10 p(O2, atm) = 8.05 - 10100/T."""
    return 10100 / (8.05 - log10(o2_atm)) - 273.15


@pytest.mark.parametrize("o2_pct", [1, 2, 5, 10, 21])
def test_manganese_follows_the_oxygen_by_the_measured_line(library: Library, o2_pct: float) -> None:
    boundary = mn2o3_ends_c(o2_pct / 100)
    below, above = (library.oxide_in_air("Mn", boundary + d, o2_pct) for d in (-2, 2))
    assert below is not None and above is not None
    assert (below.oxide, above.oxide) == ("Mn2O3", "Mn3O4")


@pytest.mark.parametrize(("element", "c"), [("Co", 859), ("Cu", 958), ("Fe", 1317)])
def test_a_gas_furnace_moves_the_boundary(library: Library, element: str, c: float) -> None:
    """At 5 % oxygen, from JANAF."""
    below, above, in_air = (
        library.oxide_in_air(element, c - 1, 5),
        library.oxide_in_air(element, c + 1, 5),
        library.oxide_in_air(element, c + 1),
    )
    assert below is not None and above is not None and in_air is not None
    assert below.oxide == in_air.oxide != above.oxide


def test_the_oxygen_of_the_furnace_reaches_the_answer(answer: Answer) -> None:
    mortar = [{"formula": "CuO", "g": 10}, {"formula": "SiO2", "g": 0.1}]
    asked = {"weighed": mortar, "target": "CuSiO3", "c": 1000}
    assert answer("balance", **asked)["left_over"][0]["oxide"] == "CuO"
    gas = answer("balance", **asked, o2_pct=5)
    assert gas["left_over"][0]["oxide"] == "Cu2O"
    assert any("in 5 % oxygen at 1000 °C" in each["say"] for each in gas["working"])


def test_the_oxygen_of_a_flame_that_was_worked_out(answer: Answer, refused: Refused) -> None:
    """C3H8 and 5/0.8 O2 with 3.76 N2 each leave 1.25 O2 in 7 + 23.5 + 1.25 mol: 3.94 %."""
    mortar = [{"formula": "CuO", "g": 10}, {"formula": "SiO2", "g": 0.1}]
    asked = {"weighed": mortar, "target": "CuSiO3", "c": 1000}
    found = answer("balance", **asked, phi=0.8)
    assert found["left_over"][0]["oxide"] == "Cu2O"
    assert any("in 3.9" in each["say"] and "% oxygen" in each["say"] for each in found["working"])
    assert refused("balance", **asked, phi=0.999)[1] == "phi"
    assert refused("balance", **asked, phi=0.8, o2_pct=5)[1] == "phi"


def test_weighing_error_reaches_the_ratio(answer: Answer) -> None:
    mortar = weighed(CoO=1.0, Al2O3=2.0)
    found = answer("balance", weighed=mortar, target="CoAl2O4", balance_d_g=0.01)
    assert found["ratio_error_pct"]["Al"] == pytest.approx(100 * ((0.01 / 1) ** 2 + (0.01 / 2) ** 2) ** 0.5)
    bare = answer("balance", weighed=mortar, target="CoAl2O4")
    assert bare["ratio_error_pct"]["Al"] is None


def test_an_error_that_both_elements_share_does_not_move_their_ratio(answer: Answer) -> None:
    found = answer("balance", weighed=weighed(CoAl2O4=1.0), target="CoAl2O4", balance_d_g=0.1)
    assert found["ratio_error_pct"]["Al"] == pytest.approx(0, abs=1e-9)
    assert found["limiting"] is None
    assert found["target_fraction_pct"] == pytest.approx(100)


def test_what_is_washed_out_counts_nowhere(answer: Answer) -> None:
    mortar = [*weighed(ZnO=5.7, CoO=1.5), {"formula": "KCl", "g": 20, "fate": "washed-out"}]
    found = answer("balance", weighed=mortar, target="Zn0.78Co0.22O")
    assert found["fired_g"] == pytest.approx(7.2)
    assert found["cations_mmol"] == pytest.approx({"Zn": 70.04, "Co": 20.02}, abs=0.01)
    share = found["cations_mmol"]["Co"] / sum(found["cations_mmol"].values())
    assert share == pytest.approx(0.222, abs=0.0005)


def test_salts_of_alkalis_are_named(answer: Answer) -> None:
    found = answer("balance", weighed=weighed(NaCl=1.0, ZnO=2.0), target="ZnO")
    assert [(each["oxide"], each["washes_out"]) for each in found["left_over"]] == [("NaCl", True)]


@pytest.mark.parametrize(
    ("fields", "field", "said"),
    [
        ({"weighed": weighed(CoO=1)}, "weighed", "Al"),
        ({"weighed": weighed(CoO=0, Al2O3=0)}, "weighed", "Nothing"),
        ({"weighed": weighed(CoO=1, Al2O3=-1)}, "weighed[1].g", "at least 0"),
        ({"weighed": [{"formula": "CoO"}]}, "weighed[0].g", "Give g"),
        ({"weighed": weighed(CoO=1, Al2O3=1), "target": "O2"}, "target", "nothing"),
        ({"weighed": weighed(CdO=1, Al2O3=1)}, "weighed", "Cadmium"),
        ({"weighed": weighed(CoO=1, Al2O3=1), "c": -5}, "c", "at least"),
    ],
)
def test_what_cannot_be_judged(refused: Refused, fields: dict[str, Any], field: str, said: str) -> None:
    say, at = refused("balance", **{"target": "CoAl2O4", **fields})
    assert at == field
    assert said in say
