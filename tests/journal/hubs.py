"""Places of a hub for tests: each is closed when its test ends."""

from typing import Any

from bench.journal.carrier import Name
from bench.journal.hub.address import Address
from bench.journal.hub.keeping import Keeper
from bench.journal.hub.link import Link
from bench.journal.hub.place import HubPlace
from bench.journal.lines import encode
from tests.journal.helpers import ulid

OPEN: list[Any] = []


def close_all() -> None:
    """No connection outlives its test, or one example of it."""
    while OPEN:
        OPEN.pop().close()


def link(address: Address, deadline_s: float = 15.0) -> Link:
    """A connection as a bench has it."""
    OPEN.append(Link(address.options(), deadline_s))
    made: Link = OPEN[-1]
    return made


def place(address: Address, **which: Any) -> HubPlace:
    """A shelf: the bench's own, or as `which` says."""
    return HubPlace(link(address), **which)


def keeper(database: str) -> Keeper:
    """The hub as its keeper sees it."""
    OPEN.append(Keeper(database))
    made: Keeper = OPEN[-1]
    return made


def line(number: int, device: str = "laptop", **more: object) -> bytes:
    """A line that is told by its number."""
    return encode(ulid(number), {"device": device, "seq": number, "kind": "reading", **more})


def everything(shelf: HubPlace) -> list[Name]:
    """What lies on a shelf, in the order in which it came."""
    return [name for name, _ in shelf.since(0, shelf.standing().position)]
