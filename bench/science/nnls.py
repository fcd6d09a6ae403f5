"""Least squares with unknowns that cannot be negative, by the active-set method of Lawson and Hanson (1974)."""

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]


def nnls(matrix: Array, wanted: Array) -> tuple[Array, float]:
    """The x ≥ 0 with the smallest |matrix·x - wanted|, and that distance.

    `matrix` is rows × unknowns, `wanted` one value a row. Where several x are equally good, one of them is given.
    """
    columns = matrix.shape[1]
    x = np.zeros(columns)
    free = np.zeros(columns, dtype=bool)
    tolerance = (
        1e-12 * max(1.0, float(np.abs(matrix).max(initial=0.0))) * max(1.0, float(np.abs(wanted).max(initial=0.0)))
    )
    for _ in range(10 * columns + 10):
        slope = matrix.T @ (wanted - matrix @ x)
        slope[free] = -np.inf
        best = int(np.argmax(slope)) if columns else 0
        if not columns or slope[best] <= tolerance:
            break
        free[best] = True
        x = _freed(matrix, wanted, x, free)
    return x, float(np.linalg.norm(matrix @ x - wanted))


def _freed(matrix: Array, wanted: Array, x: Array, free: npt.NDArray[np.bool_]) -> Array:
    """The best x with the free unknowns, which are bound again one by one where they would turn negative."""
    while free.any():
        trial = np.zeros_like(x)
        trial[free] = np.linalg.lstsq(matrix[:, free], wanted, rcond=None)[0]
        negative = free & (trial <= 0)
        if not negative.any():
            return trial
        reach = x[negative] / np.maximum(x[negative] - trial[negative], 1e-300)
        x = x + float(reach.min()) * (trial - x)
        free &= x > 1e-15
        x = np.where(free, x, 0.0)
    return np.zeros_like(x)
