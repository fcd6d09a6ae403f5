"""Hours of readings, one each second, in one firing: light pages, even costs, no peak lost.

Costs are counted, not timed: the calls that Python makes for one page or one reading, and the bytes that go to the
file. A count says the same on any computer, however busy it is.
"""

import io
import re
from collections.abc import Callable
from cProfile import Profile
from datetime import UTC, datetime
from math import exp
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.acceptance.loads import load_of, planned
from tests.conftest import TOKEN, Keeper

LIGHT_BYTES = 60_000
PEAK_AT_S, PEAK_C = 7_337, 941.0
SOAK = [{"to_c": 900, "rate_c_per_h": 300, "hold_min": 300}]


def furnace_c(second: int) -> float:
    """The simulated furnace at its probe: to 902 °C with 40 min, and one reading high above all others."""
    return PEAK_C if second == PEAK_AT_S else round(902 - 882 * exp(-second / 2400) + 0.1 * (second % 7), 1)


def log(start_ms: int, seconds: range) -> bytes:
    """What a logger would have kept of these seconds."""
    rows = (f"{datetime.fromtimestamp(start_ms // 1000 + s, UTC):%Y-%m-%dT%H:%M:%SZ},{furnace_c(s)}" for s in seconds)
    return ("time,temperature C\n" + "\n".join(rows) + "\n").encode()


def calls(work: Callable[[], Any]) -> int:
    """How many functions are called for a piece of work, in this thread."""
    counter = Profile()
    counter.runcall(work)
    return sum(one.callcount for one in counter.getstats())


class Bench:
    """A burning fire with six crucibles, and the ways to read it."""

    def __init__(self, app: Flask, client: FlaskClient, keeper: Keeper) -> None:
        self.app, self.client, self.keeper = app, client, keeper
        load = load_of(app, (48.2, 47.6, 49.0, 48.8, 47.1, 49.5))
        self.firing = planned(app, load, SOAK)
        self.start_ms = keeper.ms
        self.post("light", in_fact="1")

    def post(self, path: str, **fields: Any) -> Any:
        token = TOKEN.search(self.client.get("/looks/").get_data(as_text=True))
        assert token
        return self.client.post(f"/firing/{self.firing}/{path}", data={"token": token[1], **fields})

    def take(self, seconds: range) -> None:
        """A stretch of the logger's file, looked over and taken in whole by its screen."""
        self.keeper.ms = self.start_ms + 1000 * seconds.stop
        seen = self.post("readings", file=(io.BytesIO(log(self.start_ms, seconds)), "log.csv"))
        digest = re.search(r'name="digest" value="(\w+)"', seen.get_data(as_text=True))
        assert digest, seen.get_data(as_text=True)[:3000]
        assert self.post("readings", digest=digest[1], take="1", keep="0").status_code == 303

    def page(self, path: str = "") -> bytes:
        answer = self.client.get(f"/firing/{self.firing}{path}")
        assert answer.status_code == 200
        return answer.data

    def pages(self) -> None:
        """The pages of a fire that are opened most. What one works out, the next may find."""
        for path in ("", "/heat", "/reading", "/map"):
            assert len(self.page(path)) < LIGHT_BYTES, path

    @property
    def file_bytes(self) -> int:
        size: int = self.app.extensions["bench"].settings.file.stat().st_size
        return size

    def reading(self) -> int:
        """One more reading by hand, and the calls it took until it was on the disk and filed."""
        self.keeper.turn(1)
        journal = self.app.extensions["bench"].journal

        def keep() -> None:
            journal.write("reading", self.firing, {"c": 901.0, "raw": 901.0, "raw_unit": "C"})
            assert journal.state.last is not None

        return calls(keep)


def drawn_heights(page: str) -> list[float]:
    """The heights of the measured line of the first curve of a page, top first in the picture."""
    path = re.search(r'class="measured" d="([^"]+)"', page)
    assert path, "there is a measured line"
    return [float(y) for y in re.findall(r"[\d.]+ ([\d.]+)", path[1])]


@pytest.mark.parametrize("hours", [3, pytest.param(12, marks=pytest.mark.long)])
def test_hours_of_readings_each_second(app: Flask, client: FlaskClient, keeper: Keeper, hours: int) -> None:
    here = Bench(app, client, keeper)
    seconds = hours * 3600
    eighth = seconds // 8
    before = here.file_bytes
    here.take(range(0, eighth))
    first_bytes = here.file_bytes - before
    early = calls(here.pages)
    early_reading = here.reading()

    before = here.file_bytes
    here.take(range(eighth, seconds))
    rest_bytes = here.file_bytes - before
    # The file grows by the same for each reading, to a byte or two for longer numbers.
    assert rest_bytes / (seconds - eighth) == pytest.approx(first_bytes / eighth, rel=0.02)

    # Eight times the readings: at most eight times the work for the pages (and a tenth for what the count cannot see),
    # and for one more reading the same work as before.
    late = calls(here.pages)
    assert late <= 8.8 * early, (early, late)
    assert calls(here.pages) <= 0.5 * late  # what was worked out once is not worked out again
    assert here.reading() <= 1.3 * early_reading

    page = here.page()
    assert len(page) < LIGHT_BYTES
    text = page.decode()
    assert f"Hottest {PEAK_C:.0f} °C." in text
    # Of thousands of readings a few hundred are drawn, and the one that stands above all others is among them.
    heights = sorted(drawn_heights(text))
    assert 200 < len(heights) < 500 and heights[1] - heights[0] > 3
