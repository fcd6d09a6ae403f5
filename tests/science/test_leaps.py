"""Readings that no furnace makes: the bounds by independent arithmetic, and what a sudden fall needs to be believed."""

import pytest

from bench.science.leaps import fell_from, highest_c, leaps, lowest_c, proved_c


@pytest.mark.parametrize(
    ("c", "before", "minutes", "fuel", "asked"),
    [
        (31, 420, 1, "gas", True),
        (35, 431, 1, "electric", True),
        (31, 420, 20, "gas", False),
        # Half of the 400 °C over the room in 3 min, and 25 °C for the scatter: 220 - 25 = 195 °C.
        (195.0, 420, 3, "gas", False),
        (194.9, 420, 3, "gas", True),
        # A quarter in 6 min: 120 - 25 = 95 °C.
        (95.0, 420, 6, "electric", False),
        (94.9, 420, 6, "electric", True),
        # 60 °C a minute in an electric furnace, 150 in a gas furnace, and 25 °C for the scatter.
        (565.0, 420, 2, "electric", False),
        (565.1, 420, 2, "electric", True),
        (745.0, 420, 2, "gas", False),
        (745.1, 420, 2, "any", True),
        (420, 420, 0, "gas", False),
        (-5, 20, 0, "gas", False),  # 25 °C under the last one
        (45, -10, 0, "gas", False),  # from the frost the room counts
    ],
)
def test_what_is_asked(c: float, before: float, minutes: float, fuel: str, asked: bool) -> None:
    assert leaps(c, before, minutes, fuel) is asked


def test_the_bounds_open_with_time_and_never_close() -> None:
    for before in (-20.0, 20.0, 100.0, 1300.0):
        lows = [lowest_c(before, minutes) for minutes in range(60)]
        assert lows == sorted(lows, reverse=True) and lows[-1] >= min(before, 20.0) - 25
        assert all(highest_c(before, n) < highest_c(before, n + 1) for n in range(60))


@pytest.mark.parametrize(
    ("readings", "proved"),
    [
        ([], None),
        ([(0, 31.0)], 31.0),
        ([(0, 420.0), (1, 31.0)], 420.0),
        ([(0, 420.0), (1, 31.0), (2, 31.0), (5.9, 31.0)], 420.0),  # the same probe, again too soon
        ([(0, 420.0), (1, 31.0), (6, 31.0)], 31.0),
        ([(0, 420.0), (20, 31.0)], 31.0),
        ([(0, 420.0), (1, 31.0), (3, 411.0)], 411.0),  # the probe was put back
        ([(0, 420.0), (1, 31.0), (3, 411.0), (9, 31.0)], 411.0),  # what confirmed the first fall, confirms no other
        ([(0, 420.0), (8, 400.0), (9, 31.0), (10, 30.0)], 400.0),
        ([(0, 420.0), (4, 180.0)], 180.0),
    ],
)
def test_a_sudden_fall_proves_nothing_until_it_is_confirmed(
    readings: list[tuple[float, float]], proved: float | None
) -> None:
    assert proved_c(readings) == proved
    hot = fell_from(readings)
    assert (hot is None) is (proved is None or proved == readings[-1][1])
