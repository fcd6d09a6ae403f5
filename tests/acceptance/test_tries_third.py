"""Everything that may be sent, sound or absurd, to the third share of all forms."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.acceptance.desk import Desk, desk
from tests.acceptance.tries import LONG, REQUESTS, try_forms


@pytest.fixture
def here(tmp_path: Path) -> Iterator[Desk]:
    yield from desk(tmp_path)


def test_nothing_fails_silently_or_is_recorded_in_part(here: Desk) -> None:
    try_forms(here, 2, REQUESTS)


@pytest.mark.long
@pytest.mark.timeout(0)
def test_nothing_does_at_length(here: Desk) -> None:
    try_forms(here, 2, LONG)
