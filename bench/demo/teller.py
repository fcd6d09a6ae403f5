"""Tells records that happened before: made as the devices would have made them, and delivered through the journal."""

import random
from collections.abc import Mapping
from typing import Any

from ulid import ULID

from bench.records.moments import utc_text
from bench.records.record import BENCH
from bench.science.codes import BODIES, new_codes
from bench.web.current import Bench

DAY_MIN = 24 * 60
MINUTE_MS = 60_000
CROCKFORD = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"


ITSELF = object()
"""Stands in a record's data for the record's own id."""


class Teller:
    """Makes records at moments counted in minutes from now (negative: before), each device with its own numbers."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self.now_ms = bench.now_ms()
        self.dice = random.Random(26)
        self._seq: dict[str, int] = {}
        self._told: list[dict[str, Any]] = []
        self._marks: dict[str, tuple[int, int]] = {}
        self.codes: set[str] = set()

    def tell(
        self,
        at_min: float,
        kind: str,
        subject: str | None,
        data: Mapping[str, Any],
        *,
        device: str = "demo-laptop",
        also: Mapping[str, str] | None = None,
        corrects: tuple[str, ...] = (),
        happened_min: float | None = None,
    ) -> str:
        """One record at `at_min`; with `happened_min` it was entered late. Gives its id."""
        ms = self.now_ms + round(at_min * MINUTE_MS)
        made = self.name(ms)
        raw: dict[str, Any] = {
            "id": made,
            "v": 1,
            "kind": kind,
            "device": device,
            "seq": self._next(device),
            "hlc": [*self._mark(ms, device), device],
            "at": utc_text(ms),
            "offset_ms": None,
            "tz_min": self.bench.zone_min(),
            "how": "live" if happened_min is None else "late",
            "subject": subject or made,
            "data": {key: made if value is ITSELF else value for key, value in data.items()},
        }
        if happened_min is not None:
            raw["happened_at"] = utc_text(self.now_ms + round(happened_min * MINUTE_MS))
        if also:
            raw["also"] = dict(also)
        if corrects:
            raw["corrects"] = list(corrects)
        self._told.append(raw)
        return made

    def name(self, ms: int) -> str:
        """A ULID of that moment from our own dice, so that the demo is the same each time but for its hour."""
        return str(ULID.from_timestamp(ms / 1000))[:10] + "".join(self.dice.choice(CROCKFORD) for _ in range(16))

    def _next(self, device: str) -> int:
        self._seq[device] = self._seq.get(device, 0) + 1
        return self._seq[device]

    def _mark(self, ms: int, device: str) -> tuple[int, int]:
        before = self._marks.get(device, (0, 0))
        self._marks[device] = (ms, 0) if ms > before[0] else (before[0], before[1] + 1)
        return self._marks[device]

    def code(self, at_min: float, thing: str) -> str:
        """A fresh code for a thing."""
        code = new_codes(1, lambda: self.dice.randrange(BODIES), self.codes)[0]
        self.codes.add(code)
        self.tell(at_min, "code.issued", BENCH, {"codes": [code]})
        self.tell(at_min, "code.assigned", thing, {"code": code, "thing": thing})
        return code

    def deliver(self) -> None:
        """Hand everything to the journal at once. ValueError where a record of ours was refused."""
        for receipt in self.bench.journal.receive(self._told):
            if receipt.status not in ("new", "same"):
                raise ValueError(f"{receipt.status}: {receipt.say}")
