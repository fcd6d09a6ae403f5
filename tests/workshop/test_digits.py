"""One rule of digits: a mass has the digits that the balance shows, and nothing that is there is told as nothing."""

import pytest

from bench.records.record import BENCH
from bench.workshop.digits import BALANCE_D_G, error_text, grams_text, places_of, readability_g
from bench.workshop.sheets import batch_sheet
from tests.workshop.builder import Builder, lines


@pytest.mark.parametrize(("d_g", "places"), [(0.001, 3), (0.01, 2), (0.02, 2), (0.1, 1), (1.0, 0), (5.0, 0)])
def test_a_balance_shows_so_many_places(d_g: float, places: int) -> None:
    assert places_of(d_g) == places


@pytest.mark.parametrize(
    ("g", "d_g", "text"),
    [
        (71.3148, 0.01, "71.31"),
        (71.3148, 0.001, "71.315"),
        (71.3148, 0.1, "71.3"),
        (71.3148, 1.0, "71"),
        (0.0, 0.01, "0.00"),
        (-0.0, 0.01, "0.00"),
        (0.004, 0.01, "0.004"),  # too little for the balance, and not nothing
        (0.0049, 0.01, "0.005"),
        (0.006, 0.01, "0.01"),
        (1e-7, 0.01, "0.00"),
        (None, 0.01, "–"),
    ],
)
def test_a_mass_has_the_digits_of_the_balance(g: float | None, d_g: float, text: str) -> None:
    assert grams_text(g, d_g) == text


def test_a_difference_keeps_its_sign() -> None:
    assert grams_text(-1.0, 0.01, sign=True) == "-1.00" and grams_text(0.126, 0.01, sign=True) == "+0.13"


@pytest.mark.parametrize(
    ("pct", "text"), [(0.0521, "±0.05 %"), (0.21, "±0.2 %"), (3.4, "±3 %"), (12.4, "±12 %"), (None, "–")]
)
def test_no_error_is_told_as_nothing(pct: float | None, text: str) -> None:
    assert error_text(pct) == text


def test_the_balance_is_the_one_that_was_set() -> None:
    b = Builder()
    assert readability_g(b.state) == BALANCE_D_G
    for value, expected in ((0.001, 0.001), (True, BALANCE_D_G), ("0.1", BALANCE_D_G), (0.1, 0.1)):
        b.add("setting.changed", {"name": "balance_d_g", "value": value}, BENCH)
        assert readability_g(b.state) == expected


def test_the_run_sheet_follows_it() -> None:
    b = Builder()
    thing = b.batch(lines(("ZnO", 19.1799), ("Fe2O3", 8.0)))
    assert batch_sheet(b.state, thing)[0].rows[0].aim == "19.18 g"
    b.add("setting.changed", {"name": "balance_d_g", "value": 0.1}, BENCH)
    assert batch_sheet(b.state, thing)[0].rows[0].aim == "19.2 g"
