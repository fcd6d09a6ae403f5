"""Colour against the published pairs of CIEDE2000, the sRGB standard, and simulated scatter."""

import math
import random

import pytest

from bench.science import colour
from tests.science.tables import rows


@pytest.mark.parametrize("row", rows("colour_differences.csv"), ids=lambda row: f"pair {row['pair']}")
def test_published_pair(row: dict[str, str]) -> None:
    """Sharma, Wu and Dalal 2005, Table 1; pairs 13 and 14 sit on a seam of hue and turn on the last bit."""
    first = (float(row["l1"]), float(row["a1"]), float(row["b1"]))
    second = (float(row["l2"]), float(row["a2"]), float(row["b2"]))
    for one, other in ((first, second), (second, first)):
        assert colour.de00(one, other) == pytest.approx(float(row["expected_de00"]), abs=float(row["tolerance"]))


@pytest.mark.parametrize(
    "row", rows("colour_conversions.csv"), ids=lambda r: f"{r['to']} {r['red']} {r['green']} {r['blue']}"
)
def test_conversion(row: dict[str, str]) -> None:
    srgb = [float(row[channel]) for channel in ("red", "green", "blue")]
    found = colour.srgb_to_xyz(srgb) if row["to"] == "XYZ" else colour.srgb_to_lab(srgb, row["to"])  # type: ignore[arg-type]
    expected = [float(row[place]) for place in ("first", "second", "third")]
    assert found == pytest.approx(expected, abs=float(row["tolerance"]))


def test_all_thirty_four_pairs_are_there() -> None:
    assert [int(row["pair"]) for row in rows("colour_differences.csv")] == list(range(1, 35))


def test_difference_of_1976_is_the_straight_distance() -> None:
    assert colour.de76((50, 3, 0), (50, 0, 4)) == 5


def test_uncertainty_of_two_plain_errors() -> None:
    """2·√(0.3² + 0.4²) = 1; with a drift of 1.2 it is 2·√(0.25 + 1.44) = 2.6."""
    first, second = (50.0, 0.0, 0.0), (52.0, 0.0, 0.0)
    assert colour.difference_uncertainty(first, second, 0.3, 0.4) == pytest.approx(1)
    assert colour.difference_uncertainty(first, second, 0.3, 0.4, drift=1.2) == pytest.approx(2.6)
    assert colour.difference_uncertainty(first, second, None, None) is None
    assert colour.difference_uncertainty(first, second, 0.3, None) == pytest.approx(0.6)


def test_uncertainty_of_three_errors_against_simulated_scatter() -> None:
    first, second = (45.0, 12.0, -50.0), (50.0, 8.0, -42.0)
    se1, se2 = (0.2, 0.4, 0.6), (0.1, 0.3, 0.5)
    draw = random.Random(3)
    spread = [
        colour.de00(
            tuple(draw.gauss(v, s) for v, s in zip(first, se1, strict=True)),  # type: ignore[arg-type]
            tuple(draw.gauss(v, s) for v, s in zip(second, se2, strict=True)),  # type: ignore[arg-type]
        )
        for _ in range(1500)
    ]
    mean = sum(spread) / len(spread)
    scatter = math.sqrt(sum((each - mean) ** 2 for each in spread) / (len(spread) - 1))
    found = colour.difference_uncertainty(first, second, se1, se2)
    assert found == pytest.approx(2 * scatter, rel=0.1)


@pytest.mark.parametrize("axis", [0, 1, 2])
def test_the_error_of_each_axis_counts(axis: int) -> None:
    """Twice the slope of the difference along that axis, times the error; the slope over a hundredth."""
    first, second, error = (50.0, 3.0, 4.0), (56.0, 9.0, 12.0), 0.2
    ends = [tuple(v + (by if n == axis else 0.0) for n, v in enumerate(first)) for by in (0.005, -0.005)]
    slope = (colour.de00(ends[0], second) - colour.de00(ends[1], second)) / 0.01  # type: ignore[arg-type]
    own = tuple(error if n == axis else 0.0 for n in range(3))
    found = colour.difference_uncertainty(first, second, own, None)  # type: ignore[arg-type]
    assert found == pytest.approx(2 * abs(slope) * error, rel=0.01) and found > 0.05


def test_the_same_colour_twice_keeps_its_full_uncertainty() -> None:
    same = (50.0, 0.0, 0.0)
    found = colour.difference_uncertainty(same, same, (0.3, 0.3, 0.3), (0.3, 0.3, 0.3))
    assert found is not None
    assert found > 1
    assert colour.say_difference(0.0, found).startswith("No visible difference is shown")


@pytest.mark.parametrize(
    ("de", "uncertainty", "words"),
    [
        (0.8, 1.2, "No visible difference is shown: ΔE00 0.8 ± 1.2."),
        (3.14, 0.9, "A difference is shown: ΔE00 3.1 ± 0.9."),
        (0.62, 0.05, "Measured, but most eyes will not see it: ΔE00 0.62 ± 0.05."),
        (2.0, None, "ΔE00 is 2.0. Without a standard error, scatter may explain it."),
    ],
)
def test_sentence(de: float, uncertainty: float | None, words: str) -> None:
    assert colour.say_difference(de, uncertainty) == words


def test_fill_for_a_screen() -> None:
    """sRGB red by the standard, for both whites, and a violet that no screen has."""
    assert colour.lab_to_srgb_hex((53.2371, 80.0901, 67.2033)) == colour.Fill("#ff0000", True)
    assert colour.lab_to_srgb_hex((54.2905, 80.8049, 69.8910), "D50").hex == "#ff0000"
    assert colour.lab_to_srgb_hex((53.2371, 80.0901, 67.2033)).note is None
    outside = colour.lab_to_srgb_hex((50, 90, -100))
    assert not outside.in_gamut
    assert outside.note is not None
    assert len(outside.hex) == 7
