"""Writes numbers.json: numbers as fingers type them, with bounds, and what is made of each or said of it.

python -m tests.vectors.write_numbers; what the Python reader makes of a number is tested on its own.
"""

from random import Random
from typing import Any

from bench.science.refusal import Refusal
from bench.web.numbers import SAID, read_number
from tests.vectors.files import write

BOUNDS = (
    {"low": 0.0, "high": 1e6, "unit": "", "whole": False},
    {"low": 0.001, "high": 100_000.0, "unit": "g", "whole": False},
    {"low": 1.0, "high": 5000.0, "unit": "µm", "whole": False},
    {"low": -40.0, "high": 1500.0, "unit": "°C", "whole": False},
    {"low": 0.0005, "high": 0.125, "unit": "", "whole": False},
    {"low": 1.0, "high": 99.0, "unit": "", "whole": True},
    {"low": -0.3, "high": 2.0**53, "unit": "min", "whole": True},
)
TYPED = (
    "warm", "12", "12,5", "12.5", " 7 ", "1,000", "1.000", "1,000.5", "1.000,5", "1,0,0", "1..2", "-3", "−3",
    "–3", "--3", "-−3", "+3", "3 g", "3g", "1 000", "1\u00a0000", "1\u202f000", "\ufeff12", "1\u200b2",
    "12\x00", "12\x1f", "\x1c12", "\x85 12", "１２", "٣", "½", "1e3", "0x10", "Infinity", "NaN", ".", ",", "-",
    "five hundred",
    "-.", ".5", "5.", ",5", "-0", "-0,0", "0.125", "0.1250000001", "99.5", "99", "100", "0", "0.0005",
    "0.00049999999", "5000.0000000001", "123456789012345678901", "12345678901234567890", "9007199254740993",
    "𝟙𝟚", "💥", "1💥", "", " ", "\t", "{low}", "$&", "$1", "1\n2", "«5»", "1'000", "−", "1,", "1,-",
)  # fmt: skip
KEYS = "0123456789.,-−+ eE\u00a0\u200b\x1fgµ𝟙💥$&{}"


def cases() -> list[dict[str, Any]]:
    """Every hand-picked text with every bound, and random typing."""
    chance = Random(8)
    found = [_case(text, bounds) for text in TYPED for bounds in BOUNDS]
    for _n in range(400):
        keys = KEYS if chance.random() < 0.4 else "0123456789.,-"
        text = "".join(chance.choice(keys) for _k in range(chance.randint(0, 22 if chance.random() < 0.2 else 6)))
        found.append(_case(text, chance.choice(BOUNDS)))
    return found


def _case(text: str, bounds: dict[str, Any]) -> dict[str, Any]:
    try:
        return {"typed": text, "bounds": bounds, "value": read_number(text, **bounds)}
    except Refusal as refusal:
        return {"typed": text, "bounds": bounds, "say": str(refusal.say)}


def words() -> dict[str, str]:
    """The sentences as they travel to a phone."""
    return {f"no-{name}": said for name, said in SAID.items()}


if __name__ == "__main__":
    write("numbers", cases())
