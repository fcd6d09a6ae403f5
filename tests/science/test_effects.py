"""Effects from repeats: Student's t against published values, a worked difference, and a maker who sees no effect."""

import random
from math import sqrt

import pytest
from scipy import stats

from bench.science.effects import effects, t_quantile


@pytest.mark.parametrize(
    ("free", "t"),
    # NIST/SEMATECH e-Handbook, 1.3.6.7.2, column 0.975 (two-sided 5 %), as printed.
    [(1, 12.706), (2, 4.303), (3, 3.182), (4, 2.776), (5, 2.571), (6, 2.447), (10, 2.228), (30, 2.042), (60, 2.000)],
)
def test_students_t_as_published(free: int, t: float) -> None:
    assert t_quantile(0.05, free) == pytest.approx(t, abs=5.1e-4)


def test_students_t_by_another_program() -> None:
    for free in (1, 2, 3, 4, 7, 8, 25, 40):
        for false_share in (0.05, 0.05 / 12, 1e-3):
            assert t_quantile(false_share, free) == pytest.approx(stats.t.ppf(1 - false_share / 2, free), rel=1e-9)


def test_a_difference_by_hand() -> None:
    found = effects({0: (10.0, 12.0), 1: (15.0, 17.0), 2: (11.0,)}, 0, 1)
    # Within: 2 + 2 over 2 degrees of freedom, s = √2; t(5 %, 2) = 4.303; of two pairs 4.303 · √2 · 1 = 6.085.
    assert found.pooled_s == pytest.approx(sqrt(2)) and found.free == 2
    first, second = found.effects
    assert (first.level, first.difference, first.told) == (1, 5.0, False)
    assert first.half_width == pytest.approx(6.085, abs=1e-3)
    # 4.303 · √2 · √(1 + 1/2) = 7.453: a level without a repeat is known less well.
    assert second.half_width == pytest.approx(7.453, abs=1e-3)


def test_without_repeats_nothing_is_told() -> None:
    assert effects({0: (1.0,), 1: (50.0,), 2: (99.0,)}, 0, 1).effects == ()
    assert effects({0: (1.0, 1.1), 1: (50.0,)}, 0, 1).effects == ()
    assert effects({1: (1.0, 2.0), 2: (1.0, 2.0)}, 0, 1).effects == ()
    rounded = effects({0: (1.0, 1.0), 1: (2.0, 2.0)}, 0, 1)
    assert rounded.pooled_s == 0 and not rounded.effects[0].told


def test_a_maker_without_an_effect_is_seldom_told_one_and_a_large_one_is_found() -> None:
    """A simulated maker: a true response and noise between batches; four levels, twice each, four figures at once."""
    draw, asked, runs = random.Random(1908), 12, 1_500
    false = sum(_any_told(draw, (0.0, 0.0, 0.0, 0.0), asked) for _run in range(runs))
    assert 0 < false <= 0.05 * runs
    found = sum(_told(draw, (0.0, 0.0, 0.0, 12.0), asked)[-1] for _run in range(200))
    assert found >= 180
    alone = [effects({n: (draw.gauss(10 * n, 1),) for n in range(4)}, 0, asked).effects for _run in range(200)]
    assert not any(alone)


def _told(draw: random.Random, truth: tuple[float, ...], asked: int) -> list[bool]:
    groups = {n: [draw.gauss(value, 1.0) for _repeat in range(2)] for n, value in enumerate(truth)}
    return [one.told for one in effects(groups, 0, asked).effects]


def _any_told(draw: random.Random, truth: tuple[float, ...], asked: int) -> bool:
    return any(any(_told(draw, truth, asked)) for _figure in range(4))
