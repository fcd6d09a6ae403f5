"""Shared by the tests of the calculations: the library, and a short way to ask."""

from collections.abc import Callable
from typing import Any

import pytest

from bench.reckoning import reckon
from bench.reference import load_library
from bench.reference.library import Library
from bench.science.refusal import Refusal


@pytest.fixture(scope="session")
def library() -> Library:
    """The library as shipped."""
    return load_library()


@pytest.fixture(scope="session")
def answer(library: Library) -> Callable[..., dict[str, Any]]:
    """The answer of a kind to the fields given."""

    def ask(kind: str, /, **fields: Any) -> dict[str, Any]:
        return reckon(kind, fields, library)

    return ask


@pytest.fixture(scope="session")
def refused(library: Library) -> Callable[..., tuple[str, str | None]]:
    """The sentence and the field with which a kind refuses the fields given."""

    def ask(kind: str, /, **fields: Any) -> tuple[str, str | None]:
        with pytest.raises(Refusal) as caught:
            reckon(kind, fields, library)
        return caught.value.say, caught.value.field

    return ask
