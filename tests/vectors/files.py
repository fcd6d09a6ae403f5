"""Reads and writes the vector files, and says whether two of them are the same but for the last digits of a float."""

import json
from math import isclose
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent


def read(name: str) -> Any:
    """What stands in one vector file."""
    return json.loads((HERE / f"{name}.json").read_text(encoding="utf-8"))


def write(name: str, cases: list[Any]) -> None:
    """One case a line."""
    lines = ",\n".join(json.dumps(each, ensure_ascii=False) for each in cases)
    (HERE / f"{name}.json").write_text(f"[\n{lines}\n]\n", encoding="utf-8")


def alike(one: Any, other: Any) -> bool:
    """Equal; floats to one part in 10⁹, which is all that two computers' libraries agree in."""
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(alike(one[key], other[key]) for key in one)
    if isinstance(one, list | tuple) and isinstance(other, list | tuple):
        return len(one) == len(other) and all(map(alike, one, other))
    if isinstance(one, bool) or isinstance(other, bool) or not isinstance(one, int | float):
        return type(one) is type(other) and bool(one == other)
    return isinstance(other, int | float) and isclose(one, other, rel_tol=1e-9, abs_tol=1e-9)
