"""A simulated maker with known truth: what does nothing is seldom named, nothing is named without ground."""

from random import Random

import pytest

from tests.measure.figure import Figure
from tests.measure.learn import MOST_BATCHES, NEAR_DE, by_guesses, effects_told, signs_told, ways_to_a_colour
from tests.measure.simulated_maker import FACTORS, HIGH, LOW, Maker, Surface, middle


def told(figures: list[Figure]) -> dict[str, float | None]:
    return {one.name: one.value for one in figures}


def test_few_makers() -> None:
    found = told(effects_told(6))
    assert found["named without repeats in one load"] == 0
    assert found["a factor that does nothing is named"] <= 34  # type: ignore[operator]  # 3 of 6 at 5 %: once in 400
    assert found["a factor that does much is named"] >= 50  # type: ignore[operator]


def test_the_guesses_lead_to_a_colour_and_the_truth_is_there_too() -> None:
    draw = Random(5)
    surface = Surface(draw)
    wanted = surface.lab({name: LOW[name] + 0.3 * (HIGH[name] - LOW[name]) for name in FACTORS})
    maker = Maker(draw, surface)
    maker.fire([maker.plan(middle())])
    by_guesses(maker, wanted)
    near = maker.nearest(wanted)
    assert maker.off(near, wanted) <= NEAR_DE and maker.made < MOST_BATCHES
    # Five times its own scatter and two loads' is far more than chance puts between a measurement and the truth.
    measured, true = maker.seen[near], maker.surface.lab(maker.recipes[near])
    assert all(abs(one - two) < 5 for one, two in zip(measured, true, strict=True))


@pytest.mark.long
def test_two_hundred_makers() -> None:
    figures = [*effects_told(200), *signs_told(200), *ways_to_a_colour(200)]
    assert all(one.met is not False for one in figures), told(figures)
