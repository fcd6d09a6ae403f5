"""`--store`: how long a durable append takes, how long opening takes, and what that needs of memory.

Rivals take turns in one run, so that a ratio means the same on any computer. A ratio below 1 means that the bench's own
store was the faster one.
"""

import tempfile
from pathlib import Path

from bench.measure.figure import Figure
from bench.measure.store_core import SYNC_S, WRITERS, appends, group_gain
from bench.measure.store_opening import opened
from bench.measure.store_rivals import Ours, OursWhole, Raw, Sqlite, Stock, seed_ours

NAME = "store"
SIZES = (1_000, 10_000, 100_000)
OPEN_TRIES = 3


def run(sizes: tuple[int, ...] = SIZES, rounds: int = 200) -> list[Figure]:
    """Measures the store at each size. Takes some minutes at the usual sizes, most of them for stock TinyDB."""
    figures = []
    for size in sizes:
        figures += append_figures(size, appends(size, rounds))
        figures += opening_figures(size)
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
    return [
        Figure(f"append {at}, against SQLite WAL FULL", ours / sqlite, "×", "at most 1.2", ours <= 1.2 * sqlite, note),
        Figure(f"journal write {at}, against SQLite WAL FULL", taken[OursWhole.name] / sqlite, "×", note=whole),
        Figure(f"append {at}, against a bare write and sync", ours / taken[Raw.name], "×"),
        Figure(f"stock TinyDB {at}, against ours", taken[Stock.name] / ours, "×", note=stock_note),
    ]


def opening_figures(size: int) -> list[Figure]:
    """Opening a file of one size, the best of a few fresh processes, and what it needs."""
    with tempfile.TemporaryDirectory(prefix="saggar-measure-", ignore_cleanup_errors=True) as root:
        seed_ours(Path(root), size)
        told = [opened(Path(root)) for _ in range(OPEN_TRIES)]
    open_s, fold_s, query_s, memory_mb = (min(t[k] for t in told) for k in ("open_s", "fold_s", "query_s", "memory_mb"))
    goal, met = ("at most 0.3", open_s <= 0.3) if size == 100_000 else (None, None)
    return [
        Figure(f"open {size:,} records", open_s, "s", goal, met, "every check sum compared"),
        Figure(f"fold {size:,} records", fold_s, "s", note="once, when the state is first read"),
        Figure(f"query by subject among {size:,}", query_s * 1e6, "µs", note="40 records found"),
        Figure(f"memory for {size:,} records", memory_mb, "MB", note="file and state together"),
    ]
