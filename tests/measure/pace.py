"""`--pace`: three plain batches by the screens alone, in a real browser of a phone's size, every tap counted.

Gas furnace, known jars, harmless powder ground in water and dried in its crucible, cooled in the furnace; from the plan
to the verdict with one reading while it burns. The first is planned from nothing; the third is the one with goals.
Then what is asked afterwards (`questions.py`). It needs Playwright and Chromium; without them a sentence says so.
"""

import shutil
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from tests.measure import questions
from tests.measure.figure import Figure
from tests.measure.pace_hand import Count, Hand
from tests.measure.pace_walk import STEPS, Walk, furnish

NAME = "pace"
BROWSERS = ("chromium", "chromium-browser", "google-chrome")
ARGS = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"]
PHONE: Any = {"width": 360, "height": 740}
SLOW_MS = 60_000
"""The first page that is set for paper starts a process of its own."""
START_MS = 1_794_470_400_000
BATCHES = 3
GOALS = {"taps": 60, "characters": 20, "scrolls": 8, "safety": 9}
ALL_TAPS = 260


class Standing:
    """A clock that stands until the walk turns it."""

    def __init__(self, ms: int) -> None:
        self.ms = ms

    def now_ms(self) -> int:
        """The moment it stands at."""
        return self.ms

    def zone_min(self) -> int:
        """Minutes ahead of UTC."""
        return 0

    def turn(self, minutes: float) -> None:
        """Let time pass."""
        self.ms += round(minutes * 60_000)


def run() -> list[Figure]:
    """Walks three batches; about a minute."""
    browser = next((found for name in BROWSERS if (found := shutil.which(name))), None)
    missing = [
        *(["Playwright"] if find_spec("playwright") is None else []),
        *(["Chromium"] if browser is None else []),
    ]
    if missing or browser is None:
        return [Figure("all of it", None, "", "see --help", None, f"{' and '.join(missing)} is not installed here")]
    with tempfile.TemporaryDirectory(prefix="saggar-measure-", ignore_cleanup_errors=True) as root:
        return [*_figures(_walked(Path(root), browser)), *asked(Path(root), browser)]


def asked(root: Path, browser: str) -> list[Figure]:
    """The taps to what a maker asks afterwards, on the demo's bench."""
    from playwright.sync_api import sync_playwright

    with served(root / "asked", Standing(START_MS)) as (url, bench), sync_playwright() as playwright:
        photo = questions.ready(bench, root)
        opened = playwright.chromium.launch(executable_path=browser, args=ARGS)
        page = opened.new_context(viewport=PHONE, has_touch=True, is_mobile=True, base_url=url).new_page()
        page.set_default_timeout(SLOW_MS)
        found = questions.figures(page, bench, photo)
        opened.close()
    return found


def _walked(root: Path, browser: str) -> list[tuple[Hand, tuple[int, int]]]:
    """The hand of each batch, with how many of its measured values were read, and how many there are."""
    from playwright.sync_api import sync_playwright

    clock = Standing(START_MS)
    with served(root / "bench", clock) as (url, bench), sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=browser, args=ARGS)
        page = opened.new_context(viewport=PHONE, has_touch=True, is_mobile=True, base_url=url).new_page()
        page.set_default_timeout(10_000)
        crucibles = furnish(bench)
        found = []
        for n in range(BATCHES):
            before = len(bench.state.records)
            hand = Hand(page)
            Walk(hand, clock, bench, crucibles[n], wet=True).go()
            found.append((hand, values(list(bench.state.records.values())[before:], hand.read)))
            clock.turn(24 * 60)
        opened.close()
    return found


@contextmanager
def served(folder: Path, clock: Standing) -> Iterator[tuple[str, Any]]:
    """A bench of its own on any free port."""
    from cheroot.wsgi import Server

    from bench.app import create_app
    from bench.settings import Settings

    app = create_app(Settings(data=folder, open_browser=False), keeper=clock)
    server = Server(("127.0.0.1", 0), app, numthreads=4, shutdown_timeout=1)
    server.prepare()
    thread = threading.Thread(target=server.serve, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.bind_addr[1]}", app.extensions["bench"]
    finally:
        server.stop()
        thread.join(timeout=5)
        app.extensions["listening"].stop()
        app.extensions["bench"].journal.close()


MEASURED = {
    "weighed": ("net_g", "before_g", "after_g"),
    "mixed": ("minutes",),
    "dried": ("c", "minutes", "mass_g"),
    "charged": ("g", "wet_g", "gross_g"),
    "reading": ("c",),
    "touched": ("surface_c",),
    "opened": ("gross_g", "tare_after_g", "stuck_g"),
    "ground": ("minutes", "sieve_um", "held_back_g"),
    "dry.weighed": ("net_g",),
    "swatch.made": ("oil_g", "white_per_pigment", "film_um"),
}
"""The values of each record that are read off a balance, a probe or a clock."""


def values(records: list[Any], read: list[float]) -> tuple[int, int]:
    """How many measured values the hand read, of all that the records hold as measured or assumed."""
    left, good, all_of = list(read), 0, 0
    for record in records:
        for value in _numbers(record):
            all_of += 1
            if value in left:
                left.remove(value)
                good += 1
    return good, all_of


def _numbers(record: Any) -> Iterator[float]:
    body = record.body
    for name in MEASURED.get(record.kind, ()):
        if name == "g" and record.kind == "charged":
            yield from (one.g for one in body.sources)
        elif getattr(body, name, None) is not None:
            yield float(getattr(body, name))


def _figures(found: list[tuple[Hand, tuple[int, int]]]) -> list[Figure]:
    hand, (read, held) = found[-1]
    third = hand.total()
    rows = [
        Figure(f"{name}, third batch", value, "", f"at most {GOALS[name]}", value <= GOALS[name])
        for name, value in vars(third).items()
    ]
    rows += [_step(name, hand.counts[name]) for name in STEPS]
    taps = sum((hand.total().taps for hand, _ in found))
    rows.append(Figure("taps, three batches", taps, "", f"at most {ALL_TAPS}", taps <= ALL_TAPS))
    share = 100 * read / held if held else 0.0
    return [*rows, Figure("measured values that were read", share, "%", None, None, f"{read} of {held}")]


def _step(name: str, took: Count) -> Figure:
    note = f"{took.characters} characters, {took.scrolls} scrolls, {took.safety} safety taps"
    return Figure(f"  {name}", took.taps, "taps", None, None, note)
