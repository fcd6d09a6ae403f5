"""The mark of each page that a phone keeps: another one as soon as a record changes something that the page read.

While a page is drawn for a phone it is noticed what it reads of the state. Readings are left out, save for the page of
the firing itself: they travel as data, and the phone lays them over what it keeps. A page that nobody has asked for
since the start has no mark yet, and is taken in anew.
"""

import hashlib
import re
import secrets
from dataclasses import dataclass
from typing import Any

from flask import Flask, Response, g, request

from bench.records.noticed import Keys
from bench.web.channel import device
from bench.web.current import current_bench
from bench.web.page import is_dangerous
from bench.web.preferences import hand, theme

HEADER = "X-Bench-Pin"
"""The address that a phone takes in."""
MARK_HEADER = "X-Bench-Mark"
BY_READINGS = ("reading", ":worked climb", ":worked probe")
"""What is read of a firing and changes with each of its readings."""
OWN_PAGE = re.compile(r"^/firing/(\w{26})$")


@dataclass(frozen=True)
class Kept:
    """A list as it was made: at which moment of pages and files, and from what of the state at which revision."""

    stamp: tuple[Any, ...]
    reads: Keys
    revision: int
    found: dict[str, Any]


class Marks:
    """What each page read when it was last drawn for each phone."""

    def __init__(self) -> None:
        self._start = secrets.token_hex(4)  # of another start nothing is known
        self._read: dict[str, dict[str, Keys]] = {}
        self._led: dict[tuple[str, str], Keys] = {}  # what was read before a page led on to another one
        self.count = 0  # how many pages were drawn so far
        self.lists: dict[tuple[str, str], Kept] = {}  # the newest list of each address and phone

    def note(self, address: str, whose: str, reads: Keys) -> None:
        """Keeps what a page read; phones whose page read the same share it."""
        self.count += 1
        reads |= self._led.pop((address, whose), frozenset())
        own = OWN_PAGE.match(address)
        kept = frozenset(key for key in reads if key[1] not in BY_READINGS or (own and key[0] == own[1]))
        pages = self._read.setdefault(address, {})
        pages[whose] = next((one for one in pages.values() if one == kept), kept)

    def lead_on(self, address: str, whose: str, reads: Keys) -> None:
        """The page of this address leads on to another one: what both read counts."""
        self._led[address, whose] = reads | self._led.get((address, whose), frozenset())

    def mark(self, address: str, whose: str, state: Any, look: str) -> str | None:
        """The mark of a page as it would be drawn now; None where it is not known what it would read."""
        reads = self._read.get(address, {}).get(whose)
        if reads is None:
            return None
        state.notice_all(reads)  # a list that holds this mark is made from what the page read
        return f"{look}-{max(state.newest(reads), state.anew_at)}"

    def look(self, version: str) -> str:
        """What else a page depends on: this start, the files, and how and for whom it is drawn."""
        said = "\n".join([self._start, version, theme(), hand(), whose_phone(), str(is_dangerous())])
        return hashlib.sha256(said.encode()).hexdigest()[:12]


def whose_phone() -> str:
    """The device that asks; nothing on the laptop itself."""
    here = device()
    return here.id if here is not None else ""


def _asked() -> str:
    """The address that is taken in: the phone says it, since a page may lead on to another one."""
    said = request.headers[HEADER]
    return said if said.startswith("/") else request.full_path.rstrip("?")


def mark_pages(app: Flask, version: Any) -> None:
    """Notice what each page reads that a phone takes in, and send its mark along. `version` is that of the files."""
    marks = app.extensions["marks"] = Marks()

    def begin() -> None:
        if HEADER in request.headers and request.method == "GET":
            g.noticing = current_bench().state.noticing()
            g.noticed = g.noticing.__enter__()

    def send(answer: Response) -> Response:
        if "noticed" not in g or answer.status_code not in (200, 302, 303):
            return answer
        address, state = _asked(), app.extensions["bench"].state
        if answer.status_code != 200:
            marks.lead_on(address, whose_phone(), frozenset(g.noticed))
            return answer
        marks.note(address, whose_phone(), frozenset(g.noticed))
        answer.headers[MARK_HEADER] = marks.mark(address, whose_phone(), state, marks.look(version())) or ""
        return answer

    def end(_error: BaseException | None) -> None:
        noticing = g.pop("noticing", None)
        if noticing is not None:
            noticing.__exit__(None, None, None)

    app.before_request(begin)
    app.after_request(send)
    app.teardown_request(end)
