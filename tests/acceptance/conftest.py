"""The maker of the stories, on a phone-sized page against a real server."""

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from flask import Flask

from bench.settings import Settings
from tests.acceptance.by_forms import ByForms
from tests.acceptance.desk import Desk, desk
from tests.acceptance.in_sight import Hurried
from tests.acceptance.maker import Maker
from tests.conftest import PHONE, Keeper, Live, app_of, serve


@pytest.fixture
def plain_maker(chromium: Any, live: Any) -> Iterator[Maker]:
    """A maker whose browser runs no script at all."""
    context = chromium.new_context(viewport={"width": 360, "height": 740}, java_script_enabled=False)
    page = context.new_page()
    page.set_default_timeout(8000)
    yield Maker(page, live)
    context.close()


@pytest.fixture
def form_maker(app: Flask, keeper: Keeper) -> ByForms:
    """A maker with an empty bench whose browser knows forms and nothing else: for long stories."""
    return ByForms(Live("", app, keeper))


@pytest.fixture
def maker(browser_page: Any, live: Any) -> Maker:
    """A maker with an empty bench."""
    browser_page.set_default_timeout(8000)
    return Maker(browser_page, live)


@pytest.fixture(scope="session")
def shared_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that all processes of a test run share."""
    base = tmp_path_factory.getbasetemp()
    return base.parent if "PYTEST_XDIST_WORKER" in os.environ else base


@pytest.fixture(scope="module")
def here(tmp_path_factory: pytest.TempPathFactory, shared_folder: Path) -> Iterator[Desk]:
    """The demo's bench to try things on, for all tests of a file."""
    yield from desk(tmp_path_factory.mktemp("desk"), shared_folder)


@pytest.fixture(scope="module")
def hurried(chromium: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Hurried]:
    """A maker in a hurry, with one bench and one page for all tests of a file."""
    keeper = Keeper()
    app = app_of(Settings(data=tmp_path_factory.mktemp("hurried") / "data", open_browser=False), keeper)
    server, thread = serve(app)
    context = chromium.new_context(viewport=PHONE)
    page = context.new_page()
    page.set_default_timeout(8000)
    # Each test begins with empty forms: what the one before left unsaved is not its own.
    page.add_init_script("localStorage.removeItem('saggar-typed')")
    yield Hurried(page, Live(f"http://127.0.0.1:{server.bind_addr[1]}", app, keeper))
    context.close()
    server.stop()
    thread.join(timeout=5)
    app.extensions["listening"].stop()
    app.extensions["bench"].journal.close()
