"""The maker of the stories, on a phone-sized page against a real server."""

from collections.abc import Iterator
from typing import Any

import pytest

from tests.acceptance.maker import Maker


@pytest.fixture
def plain_maker(chromium: Any, live: Any) -> Iterator[Maker]:
    """A maker whose browser runs no script at all."""
    context = chromium.new_context(viewport={"width": 360, "height": 740}, java_script_enabled=False)
    page = context.new_page()
    page.set_default_timeout(8000)
    yield Maker(page, live)
    context.close()


@pytest.fixture
def maker(browser_page: Any, live: Any) -> Maker:
    """A maker with an empty bench."""
    browser_page.set_default_timeout(8000)
    return Maker(browser_page, live)
