"""A bench in a process of its own and a phone whose clock is wrong: what the tests of the phone on its own share."""

import json
import socket
import subprocess
import sys
import time
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from playwright.sync_api import expect

KILLABLE = Path(__file__).with_name("killable.py")
AHEAD_MS = 7 * 60_000
CLOCK = f"""(() => {{
  const shift = {AHEAD_MS}, Real = Date;
  class Shifted extends Real {{ constructor(...a) {{ if (a.length) super(...a); else super(Real.now() + shift); }} }}
  Shifted.now = () => Real.now() + shift;
  globalThis.Date = Shifted;
}})()"""
"""A phone whose clock is seven minutes ahead."""


def free_port() -> int:
    """A port that nobody has now."""
    with closing(socket.socket()) as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@dataclass
class Laptop:
    """A bench in a process of its own, that can be killed, stopped and started again."""

    data: Path
    port: int
    scene: str = "fire"
    yard: int = 0
    process: Any = None
    code: str = ""
    firing: str = ""
    batch: str = ""

    def start(self, dies_after: int = 0) -> None:
        """Start it; it is ready when this returns."""
        call = [sys.executable, str(KILLABLE), str(self.data), str(self.port)]
        self.process = subprocess.Popen([*call, str(dies_after), self.scene, str(self.yard)], stdout=subprocess.PIPE)
        said = self.process.stdout.readline().decode().split()
        self.code, self.firing, self.batch = [*said, "", ""][:3]

    def kill(self) -> None:
        """As a power cut."""
        if self.process is not None:
            self.process.kill()
            self.process.wait(20)
            self.process.stdout.close()
            self.process = None

    def has_died(self) -> bool:
        """Whether it ended itself."""
        return self.process.poll() is not None

    def records(self) -> list[dict[str, Any]]:
        """What is in the file: every record with its id."""
        found = json.loads((self.data / "saggar.json").read_bytes())["records"]
        return [{"id": name, **one} for name, one in found.items()]

    def rooms(self) -> list[float]:
        """The values that the tests record, in the order of their marks."""
        mine = [r for r in self.records() if r["kind"] == "setting.changed" and r["data"]["name"] == "room_m3"]
        return [r["data"]["value"] for r in sorted(mine, key=lambda r: r["hlc"])]


def pair(laptop: Laptop, handset: Any) -> Any:
    """Pair a phone with that laptop; it is ready offline when this returns."""
    page = start(handset)
    page.goto(f"/pair?code={laptop.code}")
    page.fill("#name", "kiln")
    page.click("button.plate")
    page.wait_for_url(f"{handset.origin}/")
    expect(page.locator("[data-ready]")).to_contain_text("Ready offline", timeout=20_000)
    return page


def start(handset: Any) -> Any:
    page = handset.start()
    handset.context.add_init_script(CLOCK)
    handset.page = page
    return page


def near(page: Any) -> None:
    """The laptop's own page: while it is busy a stored one stands in for it."""
    for _ in range(8):
        if not page.locator("body[data-stored]").count():
            return
        page.wait_for_timeout(1000)
        page.reload()


def waits(page: Any, count: int) -> None:
    expect(page.locator("[data-outbox-words]")).to_contain_text(f"{count} waiting", timeout=15_000)


def empty(page: Any) -> None:
    expect(page.locator("[data-outbox-words]")).to_have_text("All on the laptop", timeout=25_000)


def check_times(laptop: Laptop) -> None:
    """The offset was measured to within a second, the phone's clock being seven minutes ahead; numbers are dense."""
    mine = [r for r in laptop.records() if r["device"].startswith("phone-kiln~")]
    assert mine and sorted(r["seq"] for r in mine) == list(range(1, len(mine) + 1))
    for one in mine:
        assert abs(one["offset_ms"] + AHEAD_MS) < 1000
        assert abs(one["hlc"][0] - time.time() * 1000) < 120_000
