"""Scales: from a quantity to px, and steps that people count in."""

from dataclasses import dataclass
from math import ceil, floor, log10

STEPS = (1.0, 2.0, 5.0, 10.0)


@dataclass(frozen=True)
class Scale:
    """A straight scale from `low`…`high` (any unit) to `start`…`end` px; `start` may lie beyond `end`."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """Px of a value; values off the scale lie off it."""
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)

    def inside(self, value: float) -> float:
        """Px of a value, kept on the scale."""
        return self.at(min(max(value, self.low), self.high))


def step_for(span: float, most: int) -> float:
    """The smallest of 1, 2, 5 × 10ⁿ that divides `span` into at most `most` parts."""
    rough = span / most
    power = 10.0 ** floor(log10(rough))
    return next(power * step for step in STEPS if power * step >= rough * (1 - 1e-9))


def marks(low: float, high: float, step: float) -> list[float]:
    """The multiples of `step` from `low` to `high`, both ends included."""
    first, last = ceil(low / step - 1e-9), floor(high / step + 1e-9)
    return [n * step for n in range(first, last + 1)]
