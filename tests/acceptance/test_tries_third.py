"""Everything that may be sent, sound or absurd, to the third share of all forms."""

import pytest

from tests.acceptance.desk import Desk
from tests.acceptance.tries import LONG, REQUESTS, try_forms


def test_nothing_fails_silently_or_is_recorded_in_part(here: Desk) -> None:
    try_forms(here, 2, REQUESTS)


@pytest.mark.long
@pytest.mark.timeout(0)
def test_nothing_does_at_length(here: Desk) -> None:
    try_forms(here, 2, LONG)
