"""The one reader of the time. Every other room gets the time handed in."""

import time
from datetime import datetime


def now_ms() -> int:
    """Milliseconds since 1970-01-01T00:00Z by this computer's clock."""
    return time.time_ns() // 1_000_000


def zone_min() -> int:
    """Minutes that this computer's local time is ahead of UTC, now."""
    offset = datetime.now().astimezone().utcoffset()
    return 0 if offset is None else round(offset.total_seconds() / 60)


def tick_s() -> float:
    """Seconds on a clock that never jumps, for measuring spans."""
    return time.perf_counter()
