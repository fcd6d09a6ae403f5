"""Writes calendar.json: timers as calendar events with an alarm, for the twin on the phone.

python -m tests.vectors.write_calendar; the Python module is tested elsewhere by the grammar of RFC 5545.
"""

from datetime import UTC, datetime
from typing import Any

from bench.screens.phone.timers import STAY, event
from tests.vectors.files import write

ID = "01J9Z3K4M5N6P7Q8R9S0T1V2W3"
SOON, LATER = 1_794_470_400_000, 1_794_470_400_999
SAID = (
    ("Soak ends", "Box"),
    ("Look in", ""),
    ("Turn it down; look, then \\ close", "Box, the small; one"),
    ("å" * 60, "Ofen – groß"),
    ("𝄞" * 33, "x"),
    ("two\nlines\tand a \u0007 bell", "forge\r"),
    ("a" * 67, ""),
    ("a" * 68, "b"),
)


def cases() -> list[dict[str, Any]]:
    """Plain, escaped, folded within and between octets, with what may not stand in a calendar."""
    return [
        {
            "timer": {"id": ID, "endsMs": ends, "purpose": purpose, "name": name},
            "madeMs": SOON,
            "stay": str(STAY),
            "text": event(ID, moment(ends), moment(SOON), purpose, name),
        }
        for purpose, name in SAID
        for ends in (SOON + 5_400_000, LATER)
    ]


def moment(ms: int) -> datetime:
    """A moment from ms since 1970."""
    return datetime.fromtimestamp(ms / 1000, UTC)


if __name__ == "__main__":
    write("calendar", cases())
