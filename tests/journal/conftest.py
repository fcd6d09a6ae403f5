"""A hub's server for the tests, from the system's own PostgreSQL."""

import os
from collections.abc import Iterator

import pytest

from tests.journal import hubs
from tests.measure.hub_server import WHY_NOT, HubServer, programs


@pytest.fixture(scope="session")
def server() -> Iterator[HubServer]:
    """A hub on a PostgreSQL that runs while the tests do, one for each process of a run."""
    if programs() is None:
        assert not os.environ.get("CI"), WHY_NOT
        pytest.skip(WHY_NOT)
    made = HubServer()
    yield made
    made.remove()


@pytest.fixture(autouse=True)
def closed_links() -> Iterator[None]:
    """No connection outlives its test."""
    yield
    hubs.close_all()
