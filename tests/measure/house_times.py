"""What the house costs at work: syncs of submits that come together, a long firing's page, one test to its verdict."""

import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from math import exp
from pathlib import Path
from statistics import median
from typing import Any

from ulid import ULID

from bench.app import create_app
from bench.clock import tick_s
from bench.journal.disk import full_sync
from bench.journal.receipts import Draft
from bench.records.moments import utc_text
from bench.settings import Settings
from tests.measure.crowd_phone import TOKEN

ROOT = Path(__file__).resolve().parents[2]
SUBMITS, WRITERS, SYNC_S = 96, 8, 0.02
FEW, MANY, MINUTE_S = 140, 43_200, 60
"""Readings, one each second: of two minutes, and of twelve hours."""
A_BATCH = 2_000
TRIES = 7
PURE_TEST = "tests/science/test_weights.py"


@contextmanager
def a_bench() -> Iterator[Any]:
    """The whole app over a throwaway folder."""
    with tempfile.TemporaryDirectory(prefix="saggar-measure-", ignore_cleanup_errors=True) as root:
        app = create_app(Settings(data=Path(root) / "data", open_browser=False))
        try:
            yield app
        finally:
            app.extensions["listening"].stop()
            app.extensions["bench"].journal.close()


@dataclass
class SlowDisk:
    """A disk whose sync takes longer, and how often it was asked for."""

    syncs: list[float] = field(default_factory=list)

    def sync(self, fd: int) -> None:
        """Waits, then asks the disk."""
        self.syncs.append(tick_s())
        time.sleep(SYNC_S)
        full_sync(fd)

    def under(self, app: Any) -> None:
        """Stands in the place of the bench's disk."""
        storage = app.extensions["bench"].journal._base.file
        storage._disk = replace(storage._disk, sync=self.sync)


def together() -> tuple[int, float]:
    """The syncs of 96 submits from eight at once, and what a lone submit takes against one sync."""
    with a_bench() as app:
        disk = SlowDisk()
        disk.under(app)
        posts = [_poster(app) for _ in range(WRITERS)]
        lone = [_timed(posts[0]) for _ in range(TRIES)]
        disk.syncs.clear()
        with ThreadPoolExecutor(WRITERS) as pool:
            list(pool.map(lambda post: [post() for _ in range(SUBMITS // WRITERS)], posts))
        return len(disk.syncs), median(lone) / SYNC_S


def _poster(app: Any) -> Callable[[], None]:
    client = app.test_client()
    found = TOKEN.search(client.get("/looks/").get_data(as_text=True))
    token = found[1] if found else ""

    def post() -> None:
        fields = {"token": token, "record_id": str(ULID()), "ware": "alumina-99", "volume_ml": "30"}
        if client.post("/crucibles/new", data=fields).status_code != 303:
            raise RuntimeError("a crucible was not kept")

    return post


def firing_page() -> tuple[float, float]:
    """Seconds for a firing's page after one more reading: with few readings before it, and with many."""
    with a_bench() as app:
        bench = app.extensions["bench"]
        furnace = bench.journal.write("furnace.described", None, {"name": "Ring", "fuel": "gas"}).id
        plan = {"furnace": furnace, "segments": [{"to_c": 900, "rate_c_per_h": 300, "hold_min": 300}]}
        firing = bench.journal.write("firing.planned", None, plan).id
        start_ms = bench.now_ms() - 1000 * (MANY + MINUTE_S)
        bench.journal.write_all([Draft("lit", firing, {}, happened_at=utc_text(start_ms), how="late")])
        client = app.test_client()
        client.get(f"/firing/{firing}")  # the first page of a start takes longer
        found, read = [], 0
        for until in (FEW, MANY):
            for first in range(read, until, A_BATCH):
                many = range(first, min(first + A_BATCH, until))
                bench.journal.write_all([_draft(firing, start_ms, second) for second in many])
            found.append(median(_after_one_more(bench, client, firing, start_ms, until + n) for n in range(TRIES)))
            read = until + TRIES
        return found[0], found[1]


def _draft(firing: str, start_ms: int, second: int) -> Draft:
    c = round(902 - 882 * exp(-second / 2400) + 0.1 * (second % 7), 1)
    data = {"c": c, "raw": c, "raw_unit": "C"}
    return Draft("reading", firing, data, happened_at=utc_text(start_ms + 1000 * second), how="import")


def _after_one_more(bench: Any, client: Any, firing: str, start_ms: int, second: int) -> float:
    bench.journal.write_all([_draft(firing, start_ms, second)])
    return _timed(lambda: client.get(f"/firing/{firing}"))


def one_pure_test() -> float:
    """Seconds from the call to the verdict of one file of pure tests."""
    call = [sys.executable, str(ROOT / "saggar"), "test", PURE_TEST]

    def tested() -> None:
        if subprocess.run(call, cwd=ROOT, capture_output=True).returncode:
            raise RuntimeError(f"{PURE_TEST} fails")

    return median(_timed(tested) for _ in range(TRIES))


def _timed(work: Callable[[], object]) -> float:
    began = tick_s()
    work()
    return tick_s() - began
