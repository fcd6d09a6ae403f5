"""Shared by all tests: an app over a throwaway folder, a clock to turn by hand, a real server, a phone-sized page.

A pure test is judged without the web: what only an app or a browser needs is imported where one is made.
"""

from __future__ import annotations

import os
import re
import shutil
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from cheroot.wsgi import Server
    from flask import Flask
    from flask.testing import FlaskClient
    from jinja2 import FileSystemBytecodeCache
    from jinja2.bccache import Bucket
    from werkzeug.routing import Rule
    from werkzeug.test import TestResponse

    from bench.settings import Settings

TESTS = Path(__file__).parent
ROOT = TESTS.parent
SHARED = re.compile(r"(?m)^from (tests\.[\w.]+) import")
PURE = ("science", "reckoning", "reference", "records", "workshop")
"""The rooms whose tests are pure: no app, no browser, no paper. They carry the mark `quick`."""
WAITING = "serving"


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """Do not even read the other rooms' tests where only the quick ones are asked for."""
    if config.option.markexpr != "quick" or collection_path == TESTS or TESTS not in collection_path.parents:
        return None
    return collection_path.relative_to(TESTS).parts[0] not in PURE or None


def pytest_collectstart(collector: pytest.Collector) -> None:
    """Set up the trials before the first file that uses them is read."""
    if isinstance(collector, pytest.Module) and uses_trials(collector.path):
        set_up_trials()


def pytest_collection_finish(session: pytest.Session) -> None:
    """Take the trials' own plugin out where no test tries: its summary would import them all the same."""
    plugin = session.config.pluginmanager.get_plugin("hypothesispytest")
    if plugin is not None and "hypothesis" not in sys.modules:
        session.config.pluginmanager.unregister(plugin)


@cache
def uses_trials(path: Path) -> bool:
    """Whether a file uses trials, itself or by what it shares with other tests."""
    text = path.read_text(encoding="utf-8")
    shared = (ROOT / f"{name.replace('.', '/')}.py" for name in SHARED.findall(text))
    return "hypothesis" in text or any(uses_trials(file) for file in shared if file.is_file())


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark the pure tests as quick, but the long ones, before any is chosen by its mark."""
    for item in items:
        if item.path.relative_to(TESTS).parts[0] in PURE and "long" not in item.keywords:
            item.add_marker("quick")
    at = spread(list(dict.fromkeys(item.path for item in items)))
    items.sort(key=lambda item: at[item.path])


def spread(files: list[Path]) -> dict[Path, float]:
    """Where each file stands, from 0 to 1. Those that wait most, for phones and killed laptops, lie between the others.

    So no core stands idle. They end before the others do, that no long one of them is left for the last.
    """
    waiting = [path for path in files if WAITING in path.parts]
    others = [path for path in files if WAITING not in path.parts]
    early = {path: 0.8 * n / len(waiting) for n, path in enumerate(waiting)}
    return early | {path: n / len(others) for n, path in enumerate(others)}


@cache
def set_up_trials() -> None:
    """A busy computer is no finding. Where `CI` is set the examples are the same in each run: what landed is green."""
    from hypothesis import HealthCheck, settings

    settings.register_profile(
        "bench", deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=bool(os.environ.get("CI"))
    )
    settings.load_profile("bench")


PHONE = {"width": 360, "height": 740}
START_MS = 1_794_470_400_000
TOKEN = re.compile(r'name="bench-token" content="([0-9a-f]{64})"')
CHROMIUM = ("chromium", "chromium-browser", "google-chrome")
ARGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"]


@dataclass
class Keeper:
    """A clock that stands still until a test turns it. The zone is UTC unless set."""

    ms: int = START_MS
    zone: int = 0

    def now_ms(self) -> int:
        """The moment it stands at."""
        return self.ms

    def zone_min(self) -> int:
        """Minutes ahead of UTC."""
        return self.zone

    def turn(self, minutes: float) -> None:
        """Let time pass."""
        self.ms += round(minutes * 60_000)


@pytest.fixture
def keeper() -> Keeper:
    """A clock to turn by hand."""
    return Keeper()


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    """Settings over a throwaway data folder."""
    from bench.settings import Settings

    return Settings(data=tmp_path / "data", open_browser=False)


@cache
def compiled() -> FileSystemBytecodeCache:
    """What templates come to, kept in the system's folder for passing files: most of a test would be spent on it."""
    from jinja2 import FileSystemBytecodeCache

    class Remembered(FileSystemBytecodeCache):
        def load_bytecode(self, bucket: Bucket) -> None:
            bucket.code = known.get((bucket.key, bucket.checksum))
            if bucket.code is None:
                super().load_bytecode(bucket)
            if bucket.code is not None:
                known[bucket.key, bucket.checksum] = bucket.code

    known: dict[tuple[str, str], Any] = {}
    return Remembered()


@cache
def known_rules() -> type[Rule]:
    """Addresses whose builders are compiled once for all apps of a run: that is most of what making an app takes."""
    from werkzeug.routing import Rule

    built: dict[tuple[object, ...], Any] = {}

    class KnownRule(Rule):
        def _compile_builder(self, append_unknown: bool = True) -> Any:
            key = (self.rule, self.subdomain, self.host, str(self.defaults), append_unknown)
            if key not in built:
                built[key] = super()._compile_builder(append_unknown)
            return built[key]

    return KnownRule


def app_of(settings: Settings, keeper: Keeper) -> Flask:
    """The whole app, with its addresses and templates compiled once for all tests."""
    from flask import Flask

    from bench.app import create_app

    Flask.url_rule_class = known_rules()
    made = create_app(settings, keeper=keeper)
    made.jinja_env.bytecode_cache = compiled()
    return made


@pytest.fixture
def app(settings: Settings, keeper: Keeper) -> Iterator[Flask]:
    """The whole app over a throwaway folder, with the clock that stands still."""
    made = app_of(settings, keeper)
    made.testing = True
    yield made
    close(made)


def close(app: Flask) -> None:
    """Let go of all that an app holds open."""
    app.extensions["listening"].stop()
    app.extensions["balance"].stop()
    app.extensions["bench"].journal.close()


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    """A browser without JavaScript."""
    return app.test_client()


Send = Callable[..., "TestResponse"]


@pytest.fixture
def send(client: FlaskClient) -> Send:
    """Post a form as its page would: with the session's token. `send("/path", field=…, follow=True)`."""

    def sender(path: str, fields: dict[str, Any] | None = None, *, follow: bool = False, **more: Any) -> TestResponse:
        found = TOKEN.search(client.get("/looks/").get_data(as_text=True))
        assert found, "a page carries the session's token"
        data = {"token": found[1], **(fields or {}), **more}
        return client.post(path, data=data, follow_redirects=follow)

    return sender


@dataclass(frozen=True)
class Live:
    """A real server on this computer: its address, its app and its clock."""

    url: str
    app: Flask
    keeper: Keeper


def serve(app: Flask) -> tuple[Server, threading.Thread]:
    """Serve an app on any free port in a thread."""
    from cheroot.wsgi import Server

    server = Server(("127.0.0.1", 0), app, numthreads=8, shutdown_timeout=1)
    server.prepare()
    thread = threading.Thread(target=server.serve, daemon=True)
    thread.start()
    return server, thread


@pytest.fixture
def live(app: Flask, keeper: Keeper) -> Iterator[Live]:
    """The app on a real server."""
    server, thread = serve(app)
    yield Live(f"http://127.0.0.1:{server.bind_addr[1]}", app, keeper)
    server.stop()
    thread.join(timeout=5)


@pytest.fixture(scope="session")
def driver() -> Iterator[Any]:
    """What drives every browser of a run. One a process: a second cannot be started beside it."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        yield playwright


@pytest.fixture(scope="session")
def chromium_path() -> str:
    """Where Chromium is; tests that need it are skipped where there is none."""
    path = next((found for name in CHROMIUM if (found := shutil.which(name))), None)
    if path is None:
        pytest.skip("Chromium is not installed: the package is called chromium.")
    return path


@pytest.fixture(scope="session")
def chromium(chromium_path: str, driver: Any) -> Iterator[Any]:
    """A real Chromium for the whole run."""
    browser = driver.chromium.launch(executable_path=chromium_path, args=ARGS)
    yield browser
    browser.close()


@contextmanager
def watched_page(chromium: Any, url: str) -> Iterator[Any]:
    """A page of 360 × 740 on a real server. What the policy blocks, or a script breaks, fails."""
    context = chromium.new_context(viewport=PHONE, base_url=url)
    page = context.new_page()
    complaints: list[str] = []
    page.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda error: complaints.append(str(error)))
    yield page
    context.close()
    blocked = [one for one in complaints if "Content Security Policy" in one or "Error" in one.split(":")[0]]
    assert not blocked, blocked


@pytest.fixture
def browser_page(chromium: Any, live: Live) -> Iterator[Any]:
    """A phone-sized page on the real server."""
    with watched_page(chromium, live.url) as page:
        yield page


@pytest.fixture(scope="module")
def lasting_page(chromium: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    """One such page on an empty bench, for all tests of a file that only look and record nothing."""
    from bench.settings import Settings

    app = app_of(Settings(data=tmp_path_factory.mktemp("lasting") / "data", open_browser=False), Keeper())
    app.testing = True
    server, thread = serve(app)
    with watched_page(chromium, f"http://127.0.0.1:{server.bind_addr[1]}") as page:
        yield page
    server.stop()
    thread.join(timeout=5)
    close(app)
