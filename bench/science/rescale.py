"""What to weigh after an overshoot, so that the ratio holds."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Rescaled:
    """The factor on the batch; grams of what is not weighed yet; grams to add to what is weighed and now too little.

    Both lists run in the order of the plan; None where there is nothing to say.
    """

    product_factor: float
    rescaled_g: tuple[float | None, ...]
    top_up_g: tuple[float | None, ...]


def rescale(planned_g: Sequence[float], weighed_g: Sequence[float | None]) -> Rescaled:
    """Scales a batch up to its largest overshoot; without one the plan stands.

    Both lists run over the same reagents, planned grams above 0; None is not weighed yet.
    """
    pairs = list(zip(planned_g, weighed_g, strict=True))
    factor = max((weighed / planned for planned, weighed in pairs if weighed is not None), default=1.0)
    factor = max(factor, 1.0)
    rescaled = tuple(factor * planned if weighed is None else None for planned, weighed in pairs)
    missing = tuple(None if weighed is None else factor * planned - weighed for planned, weighed in pairs)
    top_up = tuple(g if g is not None and g > 1e-12 * factor else None for g in missing)
    return Rescaled(factor, rescaled, top_up)
