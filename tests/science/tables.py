"""Reads the tables of published values that the tests compare with."""

import csv
from pathlib import Path

DATA = Path(__file__).parents[1] / "data"


def rows(name: str) -> list[dict[str, str]]:
    """The rows of a table in the data folder of the tests."""
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))
