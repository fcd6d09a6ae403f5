"""A clock that is moved by hand, and records to write, the same for the same number: what crashes are tried with."""

from pathlib import Path

from bench.journal import Journal
from bench.journal.disk import REAL, Disk

START_MS = 1_780_000_000_000


class HandClock:
    """Moves by one millisecond each time it is read, and otherwise only when told."""

    def __init__(self, ms: int = START_MS, zone: int = 60) -> None:
        self.ms, self.zone = ms, zone

    def now_ms(self) -> int:
        """The moment it stands at, one millisecond later each time."""
        self.ms += 1
        return self.ms

    def zone_min(self) -> int:
        """Minutes ahead of UTC."""
        return self.zone


def open_journal(folder: Path, clock: HandClock | None = None, disk: Disk = REAL, device: str = "laptop") -> Journal:
    """A journal over a folder, on any disk."""
    return Journal.open(folder, clock=clock or HandClock(), device=device, disk=disk)


def assay(grams: float) -> dict[str, float]:
    """The data of an assay that can be told by its grams."""
    return {"before_g": grams, "after_g": 1.0, "at_c": 110.0}


def ulid(number: int) -> str:
    """A well-formed ULID for a number."""
    letters = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
    return "01J" + "".join(letters[number >> (5 * n) & 31] for n in range(22, -1, -1))


def phone_record(number: int, device: str = "phone-kiln", seq: int = 1, **more: object) -> dict[str, object]:
    """A whole record as a phone sends it."""
    raw: dict[str, object] = {
        "id": ulid(number),
        "v": 1,
        "kind": "jar.assayed",
        "device": device,
        "seq": seq,
        "hlc": [START_MS + number, 0, device],
        "at": "2026-05-28T20:26:40.000Z",
        "offset_ms": None,
        "tz_min": 120,
        "how": "live",
        "subject": ulid(9_000_000),
        "data": assay(float(number)),
    }
    return raw | more
