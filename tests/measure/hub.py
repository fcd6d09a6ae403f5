"""`--hub`: many workshops give all they have to one hub at once, each with its own login, as benches do.

The server and the benches all run on this computer and share its processors. `--long` takes the whole of it: a thousand
workshops of ten thousand records each, some 7 GB on the disk.
"""

import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from functools import cache
from multiprocessing import get_context
from statistics import median

from bench.journal.carrier import name_of
from bench.journal.hub.address import Address
from bench.journal.hub.link import Link
from bench.journal.hub.place import AT_ONCE, HubPlace
from bench.journal.lines import encode
from tests.measure import bulk
from tests.measure.figure import Figure
from tests.measure.hub_server import WHY_NOT, HubServer, programs

NAME = "hub"
WORKSHOPS, RECORDS = 40, 2_500
ALL_WORKSHOPS, ALL_RECORDS = 1_000, 10_000
WRITERS, TRIES = 3, 15
LEAST_PER_S = 3_000
SETTINGS = "shared_buffers = 512MB\nmax_wal_size = 4GB\n"


def run(long: bool = False) -> list[Figure]:
    """Measures a hub; half a minute, or a quarter of an hour with `long`."""
    if programs() is None:
        return [Figure("records given a second", None, "", f"≥ {LEAST_PER_S:,}", None, WHY_NOT)]
    workshops, records = (ALL_WORKSHOPS, ALL_RECORDS) if long else (WORKSHOPS, RECORDS)
    server = HubServer(lasting=True, settings=SETTINGS)
    try:
        addresses = [server.admit(f"Workshop {n}", f"w{n}") for n in range(workshops)]
        return [*given(addresses, records, long), *asked(addresses[0], records), room(server)]
    finally:
        server.remove()


def given(addresses: list[Address], records: int, long: bool) -> list[Figure]:
    """How fast all of them are done, how long one takes, and whether any record is missing afterwards."""
    started = time.perf_counter()
    with ProcessPoolExecutor(WRITERS, get_context("spawn")) as crew:
        took = list(crew.map(give_all, addresses, range(len(addresses)), [records] * len(addresses)))
        rate = len(addresses) * records / (time.perf_counter() - started)
        missing = sum(crew.map(missing_of, addresses, range(len(addresses)), [records] * len(addresses)))
    size = f"{len(addresses):,} workshops of {records:,} records, {WRITERS} at once, {AT_ONCE} a commit"
    note = size if long else f"{size}; --long: {ALL_WORKSHOPS:,} of {ALL_RECORDS:,}"
    return [
        Figure("records given a second", rate, "", f"≥ {LEAST_PER_S:,}", rate >= LEAST_PER_S, note),
        Figure("one workshop gives all of it, median", median(took), "s"),
        Figure("records that a hub lacks afterwards", missing, "", "0", missing == 0),
    ]


def asked(address: Address, records: int) -> list[Figure]:
    """How long a bench waits for what it asks most, in milliseconds."""
    link = Link(address.options())
    place = HubPlace(link)
    upto = place.standing().position
    fresh = iter(lines(0, records + TRIES)[records:])
    rows: list[tuple[str, Callable[[], object]]] = [
        ("asks whether anything is new", place.standing),
        (f"reads on {min(1_000, records):,} records", lambda: list(place.since(max(0, upto - 1_000), upto))),
        (f"compares the outline of {records:,} records", place.outline),
        ("gives one record", lambda: place.give([next(fresh)])),
        ("connects, and asks whether anything is new", lambda: afresh(link)),
    ]
    found = [Figure(f"a bench {what}, median", _median_ms(do), "ms") for what, do in rows]
    link.close()
    return found


def afresh(link: Link) -> object:
    """What a bench does each minute."""
    link.close()
    return HubPlace(link).standing()


def room(server: HubServer) -> Figure:
    """How much a record takes on the disk, with its indexes."""
    with server.superuser() as db:
        ((size, count),) = db.ask("select pg_total_relation_size('saggar.record'), count(*) from saggar.record")
    body = median(len(line) for line in lines(0, 200))
    return Figure("bytes a record on the disk", size / count, "", note=f"of records of about {body:.0f} bytes")


@cache
def told(records: int) -> list[bulk.Told]:
    """The records of one workshop, made once a process."""
    return list(bulk.records(records))


def lines(workshop: int, records: int) -> list[bytes]:
    """The lines of a workshop: no two workshops have one in common."""
    return [encode(key, {**doc, "device": f"bench-{workshop}"}) for key, doc in told(records)]


def give_all(address: Address, workshop: int, records: int) -> float:
    """Gives all that a workshop has, and tells how long that took."""
    everything, link = lines(workshop, records), Link(address.options())
    started = time.perf_counter()
    HubPlace(link).give(everything)
    took = time.perf_counter() - started
    link.close()
    return took


def missing_of(address: Address, workshop: int, records: int) -> int:
    """How many records of a workshop do not lie in the hub."""
    link = Link(address.options())
    place = HubPlace(link)
    there = place.names(list(place.outline()))
    link.close()
    return len(set(map(name_of, lines(workshop, records))) - there)


def _median_ms(do: Callable[[], object]) -> float:
    took = []
    for _ in range(TRIES):
        started = time.perf_counter()
        do()
        took.append((time.perf_counter() - started) * 1e3)
    return median(took)
