"""The vector files that the phone's modules share with Python: each is what Python says today."""

import importlib
from typing import Any

import pytest

from tests.vectors.files import alike, read

NAMES = (
    "calendar",
    "codes",
    "fires",
    "gates",
    "numbers",
    "overlay",
    "rescale",
    "slope_bound",
    "stretches",
    "thermocouples",
)


@pytest.mark.parametrize("name", NAMES)
def test_a_vector_file_is_current(name: str) -> None:
    """Else run its writer again, and look at what has changed."""
    cases: list[Any] = importlib.import_module(f"tests.vectors.write_{name}").cases()
    assert alike(read(name), cases)


def test_files_that_differ_are_told_apart() -> None:
    assert alike([{"a": 1.0, "b": [True, None]}], [{"a": 1 + 1e-12, "b": [True, None]}])
    for other in (
        [{"a": 1.001, "b": [True, None]}],
        [{"a": 1.0, "b": [True]}],
        [{"a": 1.0}],
        [{"a": 1.0, "b": [1, None]}],
    ):
        assert not alike([{"a": 1.0, "b": [True, None]}], other)
