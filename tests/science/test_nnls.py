"""Non-negative least squares against scipy's."""

import numpy as np
import pytest
from scipy.optimize import nnls as other

from bench.science.nnls import nnls


@pytest.mark.parametrize("seed", range(5))
def test_same_distance_as_scipy_on_random_systems(seed: int) -> None:
    draw = np.random.default_rng(seed)
    for _ in range(100):
        rows, columns = draw.integers(1, 9, size=2)
        matrix = draw.random((rows, columns)) * (draw.random((rows, columns)) > 0.4)
        wanted = draw.random(rows) - 0.2
        x, distance = nnls(matrix, wanted)
        _, best = other(matrix, wanted)
        assert (x >= 0).all()
        assert distance == pytest.approx(best, abs=1e-9)


def test_the_one_solution_is_found() -> None:
    matrix = np.array([[3.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [0.0, 0.0, 2.0]])
    x, distance = nnls(matrix, np.array([6.0, 5.0, 4.0, 8.0]))
    assert x == pytest.approx([2.0, 5.0, 4.0])
    assert distance == pytest.approx(0.0, abs=1e-12)


def test_no_unknowns() -> None:
    x, distance = nnls(np.zeros((2, 0)), np.array([3.0, 4.0]))
    assert x.shape == (0,)
    assert distance == pytest.approx(5.0)
