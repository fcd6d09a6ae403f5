"""One colour from photos of the same swatch: their mean, and an error that repeats do not make too small.

A camera mixes its bands alike in every photo, and the card's own values stay as they are: what a photo cannot tell,
four cannot. So the error of one photo stays in full, and what the photos scatter comes on top, as that of their mean.
"""

from collections.abc import Sequence
from math import sqrt
from statistics import fmean, stdev

from bench.science.colour import Lab


def mean_of(labs: Sequence[Lab]) -> Lab:
    """The mean of each axis."""
    lightness, a, b = (fmean(lab[axis] for lab in labs) for axis in range(3))
    return lightness, a, b


def spread_of(labs: Sequence[Lab]) -> Lab:
    """The standard deviation of each axis, of two or more."""
    lightness, a, b = (stdev(lab[axis] for lab in labs) for axis in range(3))
    return lightness, a, b


def error_of(labs: Sequence[Lab], errors: Sequence[Lab]) -> Lab:
    """The standard error of the mean: √(mean of the squared errors + s²/n), of each axis."""
    own = [fmean(one[axis] ** 2 for one in errors) for axis in range(3)]
    scatter = [s**2 / len(labs) for s in spread_of(labs)] if len(labs) > 1 else [0.0] * 3
    lightness, a, b = (sqrt(one + more) for one, more in zip(own, scatter, strict=True))
    return lightness, a, b
