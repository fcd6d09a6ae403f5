"""The library as the data files have it, for every test of the rules."""

import pytest

from bench.reference.library import Library
from bench.reference.loader import load_library


@pytest.fixture(scope="session")
def library() -> Library:
    """The library without the maker's own rows."""
    return load_library()
