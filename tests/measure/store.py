"""`--store`: how long a durable append takes, how long opening takes, and what that needs of memory.

Rivals take turns in one run, so that a ratio means the same on any computer. A ratio below 1 means that the bench's own
store was the faster one.
"""

import tempfile
from pathlib import Path

from bench.journal import FILE
from bench.journal.snapshot import SNAPSHOT
from tests.measure.figure import Figure
from tests.measure.store_core import SYNC_S, WRITERS, appends, group_gain
from tests.measure.store_opening import opened
from tests.measure.store_rivals import Ours, OursWhole, Raw, Sqlite, Stock, seed_ours

NAME = "store"
SIZES = (1_000, 10_000, 100_000)
LONG = (1_000_000,)
OPEN_TRIES = 3
OPEN_GOALS_S = {100_000: 0.3, 1_000_000: 3.0}
MEMORY_DISK = Path("/dev/shm")
SYNC_GOALS = ((0.0001, 2.6), (0.004, 1.4))
"""Seconds of a sync, and how many times SQLite's time a checked, numbered, kept and folded record may take then."""
MEMORY_GOALS_MB = {1_000_000: 600}


def run(sizes: tuple[int, ...] = SIZES, rounds: int = 200, long: bool = False) -> list[Figure]:
    """Measures the store at each size; `long` adds a million. Some minutes, most of them for seeding."""
    figures = []
    for size in (*sizes, *(LONG if long else ())):
        figures += append_figures(size, appends(size, rounds))
        figures += opening_figures(size)
    figures += sync_figures(sizes[0], rounds)
    gain = group_gain()
    name = f"{WRITERS} writers against one, each sync {SYNC_S * 1000:g} ms"
    return [*figures, Figure(name, gain, "times the records", "at least 8", gain >= 8)]


def append_figures(size: int, taken: dict[str, float]) -> list[Figure]:
    """The appends at one size, in words, from the median seconds of each rival."""
    ours, sqlite = taken[Ours.name], taken[Sqlite.name]
    at = f"at {size:,} records"
    note = f"{ours * 1000:.2f} ms against {sqlite * 1000:.2f} ms"
    stock_note = "it does not wait for the disk, so its record is not safe yet"
    whole = "checked, numbered, kept and folded"
    stock_ratio = taken.get(Stock.name, 0.0) / ours
    stock = [Figure(f"stock TinyDB {at}, against ours", stock_ratio, "×", note=stock_note)]
    return [
        Figure(f"append {at}, against SQLite WAL FULL", ours / sqlite, "×", "at most 1.2", ours <= 1.2 * sqlite, note),
        Figure(f"journal write {at}, against SQLite WAL FULL", taken[OursWhole.name] / sqlite, "×", note=whole),
        Figure(f"append {at}, against a bare write and sync", ours / taken[Raw.name], "×"),
        *(stock if Stock.name in taken else ()),
    ]


def sync_figures(size: int, rounds: int) -> list[Figure]:
    """A write of the journal against SQLite's on disks of known speed: measured in memory, one sync added to each."""
    if not MEMORY_DISK.is_dir():
        return []
    taken = appends(size, rounds, MEMORY_DISK)
    return [sync_figure(taken[OursWhole.name], taken[Sqlite.name], *goal) for goal in SYNC_GOALS]


def sync_figure(ours: float, sqlite: float, sync_s: float, most: float) -> Figure:
    """The ratio where a sync takes so long, from the seconds without one."""
    ratio = (ours + sync_s) / (sqlite + sync_s)
    name = f"journal write against SQLite WAL FULL where a sync takes {sync_s * 1000:g} ms"
    note = f"{ours * 1000:.2f} ms against {sqlite * 1000:.2f} ms in memory; one sync each is added"
    return Figure(name, ratio, "×", f"at most {most:g}", ratio <= most, note)


def opening_figures(size: int) -> list[Figure]:
    """Opening a file of one size in fresh processes, first without a snapshot, and what that needs."""
    with tempfile.TemporaryDirectory(prefix="saggar-measure-", ignore_cleanup_errors=True) as root:
        folder = Path(root)
        seed_ours(folder, size)
        first = opened(folder)
        told = [opened(folder) for _ in range(OPEN_TRIES)]
        file_mb = (folder / FILE).stat().st_size / 1e6
        kept_mb = (folder / SNAPSHOT).stat().st_size / 1e6 if (folder / SNAPSHOT).exists() else 0.0
    ready_s = min(t["open_s"] + t["fold_s"] for t in told)
    query_s, memory_mb, resident_mb = (min(t[k] for t in told) for k in ("query_s", "memory_mb", "resident_mb"))
    return [
        _below(f"open {size:,} records", ready_s, "s", OPEN_GOALS_S.get(size), "the whole state ready to be read"),
        Figure(
            f"open {size:,} without a snapshot", first["open_s"], "s", note="every check sum; the day's backup made"
        ),
        Figure(f"fold {size:,} without a snapshot", first["fold_s"], "s", note="once; then the snapshot is kept"),
        Figure(f"query by subject among {size:,}", query_s * 1e6, "µs", note=f"{told[0]['found']:.0f} records found"),
        _below(
            f"memory with {size:,} records",
            resident_mb,
            "MB",
            MEMORY_GOALS_MB.get(size),
            f"{memory_mb:.0f} MB more than before",
        ),
        Figure(f"most memory to fold {size:,} anew", first["resident_mb"], "MB"),
        Figure(f"file of {size:,} records", file_mb, "MB", note=f"its snapshot {kept_mb:.1f} MB"),
    ]


def _below(name: str, value: float, unit: str, goal: float | None, note: str) -> Figure:
    if goal is None:
        return Figure(name, value, unit, note=note)
    return Figure(name, value, unit, f"at most {goal:g}", value <= goal, note)
