"""Atomic weights against the published table, an independent package, and a sum that no slip of a digit survives."""

import hashlib

import periodictable
import pytest

from bench.science.weights import G_MOL, TABLE, WEIGHTS, WITHOUT_WEIGHT
from tests.science.tables import rows

REVISED_2024 = {"Zr": 91.222, "Gd": 157.249, "Lu": 174.96669}


@pytest.mark.parametrize("row", rows("atomic_weights.csv"), ids=lambda row: row["symbol"])
def test_published_weight(row: dict[str, str]) -> None:
    weight = WEIGHTS[row["symbol"]]
    if row["g_mol"]:
        assert weight.g_mol == float(row["g_mol"])
    else:
        assert (weight.low_g_mol, weight.high_g_mol) == (float(row["low_g_mol"]), float(row["high_g_mol"]))


def test_same_as_the_independent_package_but_for_later_revisions() -> None:
    for element in periodictable.elements:
        if element.number == 0 or element.symbol in WITHOUT_WEIGHT:
            continue
        expected = REVISED_2024.get(element.symbol, element.mass)
        assert G_MOL[element.symbol] == pytest.approx(expected, rel=1e-12)


def test_every_real_element_is_either_weighed_or_named_as_without_weight() -> None:
    real = {element.symbol for element in periodictable.elements if 0 < element.number <= 118}
    assert set(WEIGHTS) | WITHOUT_WEIGHT == real
    assert not set(WEIGHTS) & WITHOUT_WEIGHT


def test_the_conventional_value_lies_in_the_interval() -> None:
    for weight in WEIGHTS.values():
        assert weight.low_g_mol < weight.high_g_mol < weight.low_g_mol + 2
        assert weight.low_g_mol - 0.003 < weight.g_mol < weight.high_g_mol


def test_the_table_is_unchanged() -> None:
    """The sum over all entries of the table as checked on 2026-11-25 against the sources named beside it."""
    assert hashlib.sha256(TABLE.encode()).hexdigest().startswith("b3e14bebddc64372")
