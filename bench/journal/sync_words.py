"""What a sync tells a person: copies of a folder that count under one name, numbers that are nowhere, wrong clocks."""

from collections.abc import Callable, Iterable

from bench.journal.damage import ranges, records_in_words
from bench.journal.hlc import MOST_AHEAD_MS, span
from bench.journal.verify import Device
from bench.records.moments import instant, to_ms
from bench.records.record import Record
from bench.translation import _

Find = Callable[[str], Record | None]


def own_back(own: str, count: int) -> list[str]:
    """What it means that records come which were written under the bench's own name."""
    if not count:
        return []
    come = _("comes") if count == 1 else _("come")
    return [
        _(
            "From there {come} {records} written as {own}, which is this bench’s name too. Another bench has "
            "this name, or this folder is an older copy or open twice. From now on this "
            "bench writes under another name.",
            come=come,
            records=records_in_words(count),
            own=own,
        )
    ]


def numbers(devices: Iterable[Device]) -> list[str]:
    """What the numbers of some devices tell: used twice by two copies of a folder, or in no copy yet."""
    told = []
    for device in devices:
        if device.twice:
            n = ranges(tuple((n, n) for n in device.twice))
            told.append(
                _(
                    "Two benches or copies wrote as {name}. Numbers {n} are there twice. Both are kept.",
                    name=device.name,
                    n=n,
                )
            )
        if device.missing:
            told.append(
                _("Of {name} numbers {missing} are in no copy yet.", name=device.name, missing=ranges(device.missing))
            )
    return told


class Clocks:
    """Which clocks ran behind: a record that was written before what it is about shows one.

    That somebody says later that a thing happened earlier is no matter: only the moments of writing are compared.
    """

    def __init__(self, find: Find) -> None:
        self._find = find
        self._behind: dict[tuple[str, str], int] = {}

    def saw(self, record: Record) -> None:
        """Looks at a record that came."""
        about = {record.subject, *record.corrects, *record.also.values(), *record.data.get("ids", ())} - {record.id}
        for earlier in filter(None, map(self._find, about)):
            behind_ms = _written_ms(earlier) - _written_ms(record)
            if earlier.device != record.device and behind_ms > MOST_AHEAD_MS:
                pair = (record.device, earlier.device)
                self._behind[pair] = max(self._behind.get(pair, 0), behind_ms)

    @property
    def sentences(self) -> list[str]:
        """A sentence for each clock that ran behind another one."""
        return [
            _(
                "The clock of {device} ran at least {ms} behind that of {other}. The records are kept. Correct "
                "the wrong clock.",
                device=device,
                ms=span(ms),
                other=other,
            )
            for (device, other), ms in sorted(self._behind.items())
        ]


def _written_ms(record: Record) -> int:
    return to_ms(instant(record.at)) + (record.offset_ms or 0)
