"""`--phone`: what a phone loads first, and how fast it goes from step to step with the laptop near, frozen and off.

A real Chromium, as large as a phone, that trusts the bench's own certificate, over an encrypted connection to a bench
in another process. It needs Playwright, Chromium and certutil; where one is missing, a sentence says so.
"""

import os
import shutil
import socket
import subprocess
import tempfile
from contextlib import closing
from importlib.util import find_spec
from pathlib import Path
from statistics import median
from typing import Any

from bench.serving.authority import NAME as HOST
from tests.measure.figure import Figure
from tests.measure.phone_laptop import Laptop, started
from tests.measure.phone_lighthouse import lighthouse_figures
from tests.measure.phone_stalled import stalled_figure

NAME = "phone"
BROWSERS = ("chromium", "chromium-browser", "google-chrome")
SIZE: Any = {"width": 360, "height": 740}
ARGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", f"--host-resolver-rules=MAP {HOST} 127.0.0.1",
]  # fmt: skip
MOST_KB, STEP_MS, GONE_MS = 60.0, 50.0, 500.0
SETTLE_MS = 1500
REST_MS = 26_000
PAINTED = """() => new Promise((settle) => {
  const look = () => {
    const [one] = performance.getEntriesByName('first-contentful-paint');
    if (one) settle({ painted: one.startTime, there: performance.getEntriesByType('navigation')[0].domInteractive });
    else setTimeout(look, 5);
  };
  look();
})"""

TAPPED = """() => addEventListener('click', () => {
  sessionStorage.setItem('measure-tapped', performance.timeOrigin + performance.now());
}, { capture: true, once: true })"""
SINCE_TAP = """() => {
  const there = performance.getEntriesByType('navigation')[0].domInteractive;
  return performance.timeOrigin + there - Number(sessionStorage.getItem('measure-tapped'));
}"""


def run() -> list[Figure]:
    """Measures the phone's side; about a minute."""
    browser = next((found for name in BROWSERS if (found := shutil.which(name))), None)
    missing = [
        *(["Playwright"] if find_spec("playwright") is None else []),
        *(["Chromium"] if browser is None else []),
        *(["certutil (package libnss3-tools)"] if shutil.which("certutil") is None else []),
    ]
    if missing or browser is None:
        return [Figure("all of it", None, "", "see --help", None, f"{' and '.join(missing)} is not installed here")]
    with tempfile.TemporaryDirectory(prefix="saggar-measure-", ignore_cleanup_errors=True) as root:
        laptop = started(Path(root) / "bench", _free_port())
        try:
            return [*_with_browser(laptop, Path(root), browser), stalled_figure(laptop.port, laptop.certificate)]
        finally:
            laptop.wake()
            laptop.end()


def _free_port() -> int:
    with closing(socket.socket()) as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _with_browser(laptop: Laptop, root: Path, browser: str) -> list[Figure]:
    from playwright.sync_api import sync_playwright

    home = root / "phone"
    _trust(home, laptop.certificate)
    origin = f"https://{HOST}:{laptop.port}"
    with sync_playwright() as playwright:
        context = playwright.chromium.launch_persistent_context(
            str(home / "profile"), executable_path=browser, env={**os.environ, "HOME": str(home)}, args=ARGS,
            viewport=SIZE, base_url=origin,
        )  # fmt: skip
        page = context.pages[0]
        _pair(page, laptop)
        pages = {"Today": "/", "weigh": f"/batch/{laptop.batch}/weigh/1?late=1", "firing": f"/firing/{laptop.firing}"}
        figures = [_bytes(context, name, path) for name, path in pages.items()]
        page.goto("/")
        page.locator("[data-ready][data-state=ready]").wait_for(timeout=30_000)
        page.wait_for_timeout(SETTLE_MS)
        figures += _steps(page, laptop, list(pages.values()))
        cookie = "; ".join(f"{one['name']}={one['value']}" for one in context.cookies())
        context.close()
    audited = {name: origin + path for name, path in (pages | {"shelf": "/shelf"}).items()}
    return [*figures, *lighthouse_figures(audited, cookie, browser, home)]


def _trust(home: Path, certificate: Path) -> None:
    store = home / ".pki" / "nssdb"
    store.mkdir(parents=True)
    for call in (["-N", "--empty-password"], ["-A", "-t", "C,,", "-n", "bench", "-i", str(certificate)]):
        subprocess.run(["certutil", "-d", f"sql:{store}", *call], check=True, capture_output=True)


def _pair(page: Any, laptop: Laptop) -> None:
    page.goto(f"/pair?code={laptop.code}")
    page.fill("#name", "kiln")
    page.click("button.plate")
    page.locator("[data-ready][data-state=ready]").wait_for(timeout=60_000)


def _bytes(context: Any, name: str, path: str) -> Figure:
    """What a page with nothing stored brings over the air, heads included, until nothing more comes."""
    page = context.new_page()
    line = context.new_cdp_session(page)
    line.send("Network.enable")
    line.send("Network.setCacheDisabled", {"cacheDisabled": True})
    line.send("Network.setBypassServiceWorker", {"bypass": True})
    sizes: list[float] = []
    line.on("Network.loadingFinished", lambda event: sizes.append(event["encodedDataLength"]))
    page.goto(path)
    page.wait_for_timeout(SETTLE_MS)
    page.close()
    kb = sum(sizes) / 1000
    return Figure(f"first load of {name}", kb, "kB", f"at most {MOST_KB:g}", kb <= MOST_KB, f"{len(sizes)} files")


def _steps(page: Any, laptop: Laptop, pages: list[str]) -> list[Figure]:
    """From step to step: with the laptop near, as it vanishes, and without it."""
    near = [_step(page, path) for path in pages * 3]
    vanished, gone, rested, kept = [], [], [], []
    for path in pages:
        laptop.freeze()
        vanished.append(_step(page, path))
        gone += [_step(page, one) for one in pages * 4]
        page.wait_for_timeout(REST_MS)
        kept.append(_keep_reading(page, laptop))
        rested += [_step(page, one) for one in pages]
        laptop.wake()
        page.locator("[data-outbox-mark]", has_text="All on the laptop").wait_for(timeout=30_000)
        page.wait_for_timeout(SETTLE_MS)
    painted, there = median(one["painted"] for one in gone), median(one["there"] for one in gone)
    later = median(one["there"] for one in rested)
    first = max(one["there"] for one in vanished)
    return [
        Figure("step to step, laptop near", median(one["painted"] for one in near), "ms", note="to the first paint"),
        Figure("step to step offline", there, "ms", f"at most {STEP_MS:g}", there <= STEP_MS, "to the page there"),
        Figure("step to step offline, painted", painted, "ms", note="to the first paint"),
        Figure(
            "step to step offline, later",
            later,
            "ms",
            f"at most {STEP_MS:g}",
            later <= STEP_MS,
            f"after {REST_MS / 1000:g} s of rest and a reading kept",
        ),
        Figure("a reading kept offline", median(kept), "ms", note="from the tap to the next page there"),
        Figure("first step after the laptop vanished", first, "ms", f"at most {GONE_MS:g}", first <= GONE_MS),
    ]


def _keep_reading(page: Any, laptop: Laptop) -> float:
    """A reading by its own form, with the laptop away: ms from the tap until the next page is there."""
    page.goto(f"/firing/{laptop.firing}/reading?other=1")
    page.fill("[name=c]", "702")
    page.evaluate(TAPPED)
    page.click(".actionbar .plate")
    page.wait_for_url(f"**/firing/{laptop.firing}*")
    took: float = page.evaluate(SINCE_TAP)
    return took


def _step(page: Any, path: str) -> dict[str, float]:
    page.goto(path)
    told: dict[str, float] = page.evaluate(PAINTED)
    return told
