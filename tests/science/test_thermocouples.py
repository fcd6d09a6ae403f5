"""Thermocouples against NIST's tables, IEC 60584-1, ASTM E230, and an independent package over the whole range."""

import csv
from pathlib import Path

import pytest
import thermocouple_its90

from bench.science import thermocouples
from bench.science.refusal import Refusal

DATA = Path(__file__).parents[1] / "data"


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", rows("thermocouple_points.csv"), ids=lambda row: f"{row['type']}-{row['at_c']}")
def test_published_point(row: dict[str, str]) -> None:
    mv = thermocouples.reference_mv(row["type"], float(row["at_c"]))
    assert abs(mv - float(row["expected_mv"])) <= float(row["tolerance_mv"]) + 1e-9


@pytest.mark.parametrize("letter", thermocouples.TYPES)
def test_whole_range_against_independent_package(letter: str) -> None:
    """Every whole degree and the half between: no more than half a microvolt apart, and the same ends."""
    other = thermocouple_its90.get(letter)
    low, high = thermocouples.range_c(letter)
    assert other.range == (low, high)
    for half in range(int(low * 2), int(high * 2) + 1):
        assert thermocouples.reference_mv(letter, half / 2) == pytest.approx(other.emf(half / 2), abs=0.0005)


@pytest.mark.parametrize("letter", thermocouples.TYPES)
def test_read_backwards_over_the_whole_range(letter: str) -> None:
    low, high = thermocouples.range_c(letter)
    low = thermocouples.LOWEST_INVERSE_C.get(letter, low)
    for step in range(101):
        c = low + (high - low) * step / 100
        assert thermocouples.temperature_c(letter, thermocouples.reference_mv(letter, c)) == pytest.approx(c, abs=1e-6)


def test_inverse_agrees_with_independent_package() -> None:
    for letter, mv, cold_c in (
        ("K", 38.2, 31.0),
        ("N", 40.0, 18.5),
        ("S", 9.1, 27.0),
        ("R", 12.0, -5.0),
        ("B", 5.5, 40),
    ):
        expected = thermocouple_its90.get(letter).temperature(mv, cold_c)
        assert thermocouples.temperature_c(letter, mv, cold_c) == pytest.approx(expected, abs=1e-6)


def test_cold_junction_adds_millivolts_not_degrees() -> None:
    """Type K, meter 19.644 mV at 25 °C: 20.644 - 1.000 mV by NIST's table is 500 °C; both wrong ways miss it."""
    assert thermocouples.temperature_c("K", 19.644, 25) == pytest.approx(500.0, abs=0.02)
    uncompensated = thermocouples.temperature_c("K", 19.644)
    assert uncompensated == pytest.approx(476.52, abs=0.02)
    assert uncompensated + 25 == pytest.approx(501.52, abs=0.02)


@pytest.mark.parametrize(
    ("letter", "c"), [("K", 1372.1), ("K", -270.1), ("B", 1820.5), ("B", -0.1), ("T", 401), ("S", -51)]
)
def test_temperature_outside_the_published_range_is_refused(letter: str, c: float) -> None:
    with pytest.raises(Refusal) as caught:
        thermocouples.reference_mv(letter, c)
    assert caught.value.field == "c"
    assert f"{c:g} °C" in caught.value.say


@pytest.mark.parametrize(
    ("letter", "mv"), [("K", 54.9), ("K", -6.46), ("N", 47.6), ("B", 13.83), ("B", 0.001), ("B", -0.5)]
)
def test_voltage_outside_the_published_range_is_refused(letter: str, mv: float) -> None:
    with pytest.raises(Refusal) as caught:
        thermocouples.temperature_c(letter, mv)
    assert caught.value.field == "mv"


def test_type_b_says_why_it_cannot_be_read_when_cool() -> None:
    with pytest.raises(Refusal, match="two temperatures"):
        thermocouples.temperature_c("B", 0.0)
    assert thermocouples.temperature_c("B", 0.033) == pytest.approx(100, abs=1)


def test_last_printed_value_of_a_table_is_accepted() -> None:
    """NIST prints 54.886 mV at 1372 °C for type K and 21.103 mV at 1768.1 °C for type R."""
    assert thermocouples.temperature_c("K", 54.886) == pytest.approx(1372, abs=0.05)
    assert thermocouples.temperature_c("R", 21.103) == pytest.approx(1768.1, abs=0.05)


def test_cold_junction_outside_the_range_names_its_field() -> None:
    with pytest.raises(Refusal) as caught:
        thermocouples.temperature_c("B", 5.0, -10)
    assert caught.value.field == "cold_junction_c"


def test_unknown_type_is_refused() -> None:
    with pytest.raises(Refusal) as caught:
        thermocouples.reference_mv("Q", 20)
    assert caught.value.field == "type"


@pytest.mark.parametrize(
    "row", rows("thermocouple_tolerances.csv"), ids=lambda r: f"{r['type']}{r['class']}-{r['at_c']}"
)
def test_published_tolerance(row: dict[str, str]) -> None:
    found = thermocouples.tolerance_c(row["type"], int(row["class"]), float(row["at_c"]))
    assert abs(found - float(row["expected_c"])) <= float(row["tolerance_c"])


@pytest.mark.parametrize(
    ("letter", "tolerance_class", "c"),
    [("K", 1, 1001), ("K", 2, 1201), ("S", 1, 1601), ("B", 2, 599), ("B", 1, 900), ("K", 4, 20)],
)
def test_tolerance_outside_its_class_is_refused(letter: str, tolerance_class: int, c: float) -> None:
    with pytest.raises(Refusal) as caught:
        thermocouples.tolerance_c(letter, tolerance_class, c)
    assert caught.value.field == "class"


@pytest.mark.parametrize("row", rows("thermocouple_wire_limits.csv"), ids=lambda row: f"{row['type']}-{row['awg']}")
def test_published_wire_limit(row: dict[str, str]) -> None:
    found = thermocouples.wire_limit_c(row["type"], int(row["awg"]))
    assert abs(found - float(row["expected_c"])) <= float(row["tolerance_c"])


def test_fahrenheit_both_ways() -> None:
    """Fixed points of the scale by its definition: 32 °F, 212 °F, and -40 where both agree."""
    for celsius, fahrenheit in ((0, 32), (100, 212), (-40, -40)):
        assert thermocouples.c_from_f(fahrenheit) == pytest.approx(celsius)
        assert thermocouples.f_from_c(celsius) == pytest.approx(fahrenheit)
