"""The kinds on colour: colour-difference, tint-strength, hiding."""

from collections.abc import Callable
from typing import Any

import pytest

from bench.reference.library import Library
from bench.science.colour import srgb_to_lab
from tests.science.tables import rows

Answer = Callable[..., dict[str, Any]]
Refused = Callable[..., tuple[str, str | None]]

FIRST, SECOND = [50, 2.6772, -79.7751], [50, 0, -82.7485]


def test_difference_of_a_published_pair(answer: Answer) -> None:
    """Sharma, Wu and Dalal 2005, pair 1: 2.0425."""
    found = answer("colour-difference", lab1=FIRST, lab2=SECOND)
    assert found["de00"] == pytest.approx(2.0425, abs=1e-4)
    assert found["de76"] == pytest.approx(4.0011, abs=1e-4)
    assert found["uncertainty"] is None
    assert "standard error" in found["say"]


@pytest.mark.parametrize("row", rows("colour_differences.csv"), ids=lambda row: f"pair {row['pair']}")
def test_every_published_pair_as_the_screens_ask_it(answer: Answer, row: dict[str, str]) -> None:
    """Sharma, Wu and Dalal 2005, Table 1."""
    first, second = ([float(row[f"{axis}{n}"]) for axis in "lab"] for n in (1, 2))
    wanted = pytest.approx(float(row["expected_de00"]), abs=float(row["tolerance"]))
    assert answer("colour-difference", lab1=first, lab2=second)["de00"] == wanted
    assert answer("colour-difference", lab1=second, lab2=first)["de00"] == wanted


def test_no_difference_is_shown_when_scatter_covers_it(answer: Answer) -> None:
    """2·√(0.9² + 0.7²) = 2.28, above 2.04."""
    found = answer("colour-difference", lab1=FIRST, lab2=SECOND, se1=0.9, se2=0.7)
    assert found["uncertainty"] == pytest.approx(2.280, abs=0.001)
    assert found["say"].startswith("No visible difference is shown")
    assert found["shown"] is False
    assert answer("colour-difference", lab1=FIRST, lab2=SECOND, se1=0.3, se2=0.3)["shown"] is True


def test_three_errors_and_one_alone(answer: Answer) -> None:
    found = answer("colour-difference", lab1=FIRST, lab2=SECOND, se1=[0.2, 0.2, 0.2])
    assert 0 < found["uncertainty"] < 0.4 * 3**0.5
    assert any("larger" in each["say"] for each in found["working"])


@pytest.mark.parametrize(
    ("fields", "field"),
    [
        ({"lab1": [50, 0], "lab2": SECOND}, "lab1"),
        ({"lab1": [500, 0, 0], "lab2": SECOND}, "lab1[0]"),
        ({"lab1": [200, 0, 0], "lab2": SECOND}, "lab1[0]"),
        ({"lab1": FIRST, "lab2": [50, "a", 0]}, "lab2[1]"),
        ({"lab1": FIRST}, "lab2"),
        ({"lab1": FIRST, "lab2": SECOND, "se1": -1}, "se1"),
        ({"lab1": FIRST, "lab2": SECOND, "se2": [1, 2]}, "se2"),
    ],
)
def test_difference_refuses(refused: Refused, fields: dict[str, Any], field: str) -> None:
    assert refused("colour-difference", **fields)[1] == field


def test_tint_strength(answer: Answer) -> None:
    """ISO 787-24: 0.20 against 0.25 is 142.2 %; K/S 1.6 and 1.125 by (1 - R)²/2R."""
    found = answer("tint-strength", reflectance_sample=0.20, reflectance_reference=0.25)
    assert found["k_s_sample"] == pytest.approx(1.6)
    assert found["k_s_reference"] == pytest.approx(1.125)
    assert found["relative_strength_pct"] == pytest.approx(142.2, abs=0.1)


def test_hiding(answer: Answer) -> None:
    """ISO 6504-3: 98 % hides."""
    found = answer("hiding", y_over_black=0.588, y_over_white=0.60)
    assert found["contrast_ratio_pct"] == pytest.approx(98, abs=0.01)
    assert found["hides"] is True
    assert answer("hiding", y_over_black=50, y_over_white=60)["hides"] is False


@pytest.mark.parametrize(
    ("kind", "fields", "field"),
    [
        ("tint-strength", {"reflectance_sample": 20, "reflectance_reference": 0.25}, "reflectance_sample"),
        ("tint-strength", {"reflectance_sample": 0.2, "reflectance_reference": 0}, "reflectance_reference"),
        ("tint-strength", {"reflectance_sample": 0.2, "reflectance_reference": 1}, "reflectance_reference"),
        ("tint-strength", {"reflectance_sample": 0.2}, "reflectance_reference"),
        ("hiding", {"y_over_black": 60, "y_over_white": 50}, "y_over_black"),
        ("hiding", {"y_over_black": 60, "y_over_white": 0}, "y_over_white"),
        ("hiding", {"y_over_white": 10}, "y_over_black"),
    ],
)
def test_refusals_name_their_field(refused: Refused, kind: str, fields: dict[str, Any], field: str) -> None:
    assert refused(kind, **fields)[1] == field


@pytest.mark.parametrize(
    ("kind", "fields"),
    [
        ("colour-difference", {"lab1": FIRST, "lab2": SECOND, "se1": 0.3}),
        ("tint-strength", {"reflectance_sample": 0.2, "reflectance_reference": 0.3}),
        ("hiding", {"y_over_black": 50, "y_over_white": 60}),
    ],
)
def test_every_source_of_the_working_is_known(
    answer: Answer, library: Library, kind: str, fields: dict[str, Any]
) -> None:
    assert {each["source"] for each in answer(kind, **fields)["working"]} - {None} <= set(library.sources)


def test_the_nearest_name_says_how_near(answer: Answer) -> None:
    """NBS SP 440: vivid red is #be0032; a colour two steps of L* beside it still has that name."""
    lab = [*srgb_to_lab([0xBE, 0x00, 0x32])]
    found = answer("colour-name", lab=[lab[0] + 2, lab[1], lab[2]])
    assert (found["name"], found["srgb"], found["near"]) == ("vivid red", "#be0032", True)
    assert 1 < found["de00"] < 3 and len(found["others"]) == 2 and found["say"].startswith("Nearest name: vivid red")
    assert any(step["source"] == "nbs440" for step in found["working"])
    far = answer("colour-name", lab=[88, -140, 140])
    assert far["near"] is False and "no name lies near" in far["say"]


@pytest.mark.parametrize(("lab", "field"), [([50, 0], "lab"), ([500, 0, 0], "lab[0]"), ([50, "a", 0], "lab[1]")])
def test_the_nearest_name_refuses(refused: Refused, lab: list[Any], field: str) -> None:
    assert refused("colour-name", lab=lab)[1] == field
