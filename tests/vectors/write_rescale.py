"""Writes rescale.json: weighings with what is to be weighed after an overshoot. python -m tests.vectors.write_rescale

Drawn with a fixed seed; the truth of the Python module is tested elsewhere, against the ratio that must hold.
"""

from random import Random
from typing import Any

from bench.science.rescale import rescale
from tests.vectors.files import write


def case(planned: list[float], weighed: list[float | None]) -> dict[str, Any]:
    """One batch."""
    found = rescale(planned, weighed)
    told = {"factor": found.product_factor, "rescaled": list(found.rescaled_g), "topUp": list(found.top_up_g)}
    return {"planned": planned, "weighed": weighed, **told}


def cases() -> list[dict[str, Any]]:
    """All cases: none weighed, all weighed, one over, several over, under, exact, one line, tiny and large masses."""
    found = [
        case([4.0, 10.0, 5.0], [None, None, None]),
        case([4.0, 10.0, 5.0], [4.0, 10.0, 5.0]),
        case([4.0, 10.0, 5.0], [4.0, 10.5, None]),
        case([4.0, 10.0, 5.0], [3.9, None, None]),
        case([4.0, 10.0, 5.0], [4.4, 10.1, 5.9]),
        case([0.001, 5000.0], [0.0011, None]),
        case([7.0], [7.7]),
    ]
    chance = Random(55)
    for _ in range(60):
        count = chance.randint(1, 6)
        planned = [round(chance.uniform(0.05, 200), 3) for _ in range(count)]
        share = [chance.choice((None, 1.0, chance.uniform(0.9, 1.2))) for _ in range(count)]
        found.append(
            case(planned, [None if s is None else round(g * s, 3) for g, s in zip(planned, share, strict=True)])
        )
    return found


if __name__ == "__main__":
    write("rescale", cases())
