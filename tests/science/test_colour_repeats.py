"""Repeat photos: their mean, and an error that covers what all of them share."""

from typing import Any

import numpy as np
import pytest

from bench.science.colour import Lab, de00, difference_uncertainty
from bench.science.colour_repeats import error_of, mean_of, spread_of
from bench.science.photo_colour import Card, Measured, by_card, measure
from bench.science.photo_samples import sample
from bench.science.refusal import Refusal
from tests.science import simulated_camera as camera


def test_the_mean_its_spread_and_its_error_by_hand() -> None:
    labs = [(50.0, 0.0, 1.0), (52.0, 0.0, 3.0)]
    assert mean_of(labs) == (51.0, 0.0, 2.0) and spread_of(labs) == pytest.approx((2**0.5, 0.0, 2**0.5))
    # The squares of 1 and 3 have the mean 5; the scatter's variance is 2, that of the mean 1: √6 and √5.
    errors = [(1.0, 1.0, 1.0), (3.0, 3.0, 3.0)]
    assert error_of(labs, errors) == pytest.approx((6**0.5, 5**0.5, 6**0.5))
    assert error_of(labs[:1], errors[:1]) == (1.0, 1.0, 1.0)


class SameCamera:
    """Draws of a photo of its own, by a camera whose mixing of its bands is that of the other photos."""

    def __init__(self, photo: int, phone: int) -> None:
        self.photo, self.phone = np.random.default_rng(photo), np.random.default_rng(phone)

    def normal(self, mean: float, sd: float, shape: Any = None) -> Any:
        return (self.phone if shape == (3, 3) else self.photo).normal(mean, sd, shape)

    def uniform(self, low: float, high: float) -> float:
        return float(self.photo.uniform(low, high))


def photos(run: int, card: list[Lab], columns: int, count: int) -> tuple[Lab, list[Measured]]:
    """The truth and so many photos of it in other lights; fewer where they came out overexposed."""
    lab, found = camera.pigment(np.random.default_rng(run)), []
    for n in range(3 * count):
        shot = camera.shot(SameCamera(1000 * run + n, run), card, columns, lab)  # type: ignore[arg-type]
        try:
            made, _flags = by_card(shot.pixels, camera.corners(camera.CARD_BOX), Card(tuple(card), columns))
            found.append(measure(sample(shot.pixels, camera.corners(camera.SWATCH_BOX)), made))
        except Refusal:
            continue
    return lab, found[:count]


def covered(card: list[Lab], columns: int, runs: int, count: int) -> list[bool]:
    inside = []
    for run in range(runs):
        lab, found = photos(run, card, columns, count)
        if len(found) == count:
            labs = [one.lab for one in found]
            mean, se = mean_of(labs), error_of(labs, [one.se for one in found])
            inside.append(de00(mean, lab) <= (difference_uncertainty(mean, lab, se, None) or 0.0))
    return inside


def test_the_error_of_a_mean_does_not_shrink_below_what_all_photos_share() -> None:
    inside = covered([camera.GREY], 1, 10, 3)
    assert len(inside) > 7 and np.mean(inside) >= 0.7  # by √n alone it would be about half of them


@pytest.mark.long
def test_three_photos_cover_the_truth_of_three_hundred() -> None:
    inside = [one for card, columns in (([camera.GREY], 1), (camera.CARD[2:8], 3), (camera.CARD, 4))
              for one in covered(card, columns, 100, 3)]  # fmt: skip
    assert len(inside) > 280 and np.mean(inside) >= 0.90
