"""The maker of the stories, on a phone-sized page against a real server."""

from typing import Any

import pytest

from tests.acceptance.maker import Maker


@pytest.fixture
def maker(browser_page: Any, live: Any) -> Maker:
    """A maker with an empty bench."""
    browser_page.set_default_timeout(8000)
    return Maker(browser_page, live)
