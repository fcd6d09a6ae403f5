"""The named sums on which a dryness and a doubt rest, at their edges."""

import pytest

from bench.steps.conditions import UNKNOWN
from bench.steps.named import again_ms, most, slip, steady

MINUTE = 60_000


@pytest.mark.parametrize(
    ("masses", "dry"),
    [
        ([], False),
        ([20.0], False),
        ([22.0, 20.0], False),
        ([22.0, 20.0, 20.0], True),
        ([20.0, 20.0, 21.0], False),
        ([5.0, 5.01], True),  # within what a centigram balance shows
        ([5.0, 4.98], False),
        ([100.0, 99.81], True),  # within 0.2 %
        ([100.0, 99.75], False),
    ],
)
def test_two_masses_an_hour_apart_that_agree_are_steady(masses: list[float], dry: bool) -> None:
    assert steady(masses, [60 * MINUTE * n for n in range(len(masses))]) is dry


@pytest.mark.parametrize(
    ("masses", "minutes", "dry"),
    [
        ([9.0, 9.0], [0, 60], True),
        ([9.0, 9.0], [0, 59.99], False),
        ([9.0, 9.0], [0, 0.1], False),
        ([9.0, 9.0, 9.0], [0, 1, 60], True),  # one more look in between takes nothing away
        ([9.0, 9.0, 9.0], [0, 30, 89], True),
        ([9.0, 9.5, 9.0], [0, 30, 61], False),  # wetter in between
        ([9.2, 9.0, 9.0], [0, 30, 61], False),  # it still lost within the hour
        ([9.0, 9.0], [60, 0], False),  # told late, the later one first
    ],
)
def test_two_masses_show_it_dry_only_with_an_hour_between(masses: list[float], minutes: list[float], dry: bool) -> None:
    times = [MINUTE * one for one in minutes]
    assert steady(masses, times) is dry


def test_when_to_weigh_again() -> None:
    assert again_ms([], []) is None
    assert again_ms([9.0], [0]) == 60 * MINUTE
    assert again_ms([9.4, 9.0, 9.0], [0, 30 * MINUTE, 40 * MINUTE]) == 90 * MINUTE
    assert (
        steady(UNKNOWN, UNKNOWN) is UNKNOWN
        and steady([9.0, 9.0], UNKNOWN) is False
        and again_ms(UNKNOWN, []) is UNKNOWN
    )


def test_the_most_has_room_for_the_balance() -> None:
    """A twentieth, and a tenth of a gram for what is small."""
    assert most(20.0) == pytest.approx(21.1) and most(20.0, 2.0) == pytest.approx(42.1)
    assert most(UNKNOWN) is UNKNOWN and most(None, 1.0) is UNKNOWN


def test_nothing_slips_against_what_is_not_known() -> None:
    assert slip(9.0, None) is None and slip(9.0, UNKNOWN) is None and slip(0.0, 9.0) is None
