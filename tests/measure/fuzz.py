"""`--fuzz [--seed N]`: requests that no form would send, to every address of a bench that serves.

A true server answers over its doors, by the wire, from a bench full of demo data. What counts: no answer of 500 or
more, no trace of the program on a page, none that takes for ever, and at the end every record that was there before, in
the state and in the file.
"""

import http.client
import shutil
import socket
import sys
import tempfile
import threading
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from flask import Flask, session

from bench.app import create_app
from bench.clock import tick_s
from bench.demo import fill
from bench.journal import Journal
from bench.journal.verify import verify
from bench.serving import plain
from bench.serving.doors import through
from bench.settings import Settings
from bench.web.guard import token
from tests.acceptance.addresses import addresses, few
from tests.acceptance.forms_of import PostForm, forms_of
from tests.measure.figure import Figure
from tests.measure.fuzz_requests import Asked, Grounds, drawn

NAME = "fuzz"
COUNT = 20_000
SLOW_S = 70.0
"""A sheet that takes long to set is refused after a minute."""
TRACES = (b"Traceback (most recent call last)", b'File "/', b"werkzeug.debug", b"jinja2.exceptions")
STRANGERS = 10
"""One request in so many comes through the network's door, from nobody who was let in."""


@dataclass
class Found:
    """What came of the requests: how many of each status, and those that fell."""

    statuses: Counter[int] = field(default_factory=Counter)
    fallen: list[tuple[int, str, Asked]] = field(default_factory=list)
    slowest_s: float = 0.0


@dataclass
class Served:
    """A bench that serves: its app, what is drawn from, its doors by their ports."""

    app: Flask
    grounds: Grounds
    local: int
    yard: int

    @property
    def journal(self) -> Journal:
        """Its journal."""
        journal: Journal = self.app.extensions["bench"].journal
        return journal


def run(count: int = COUNT, seed: int = 1) -> list[Figure]:
    """Sends so many; some minutes."""
    with tempfile.TemporaryDirectory(prefix="saggar-fuzz-", ignore_cleanup_errors=True) as root:
        folder = Path(root) / "data"
        with served(folder) as here:
            before = set(here.journal.state.records)
            found = sent(here, range(count), seed)
            alive = ids_of(here.journal)
        lost, sound = len(before - set(alive)), verify(folder).sound
        shutil.rmtree(folder / "backups", ignore_errors=True)  # one of them may have been ordered back, in a form
        with Journal.open(folder, clock=StandingClock()) as again:
            differ = len(set(alive) ^ set(ids_of(again)))
    return figures(count, seed, found, lost, differ + (not sound), len(alive) - len(before))


def figures(count: int, seed: int, found: Found, lost: int, differ: int, new: int) -> list[Figure]:
    """What came of it, in words."""
    fell = len(found.fallen)
    taken = sum(n for status, n in found.statuses.items() if status < 400)
    told = ", ".join(f"{n:,} × {status or 'closed'}" for status, n in sorted(found.statuses.items()))
    return [
        Figure("requests", count, "", note=f"seed {seed}; {told}"),
        Figure("requests that were taken", taken, "", "more than 0", taken > 0, f"{new:,} records came of them"),
        Figure("answers of 500 and more, traces, and silence", fell, "", "0", fell == 0),
        Figure("records lost", lost, "", "0", lost == 0),
        Figure("records that differ after opening again", differ, "", "0", differ == 0),
        Figure("slowest answer", found.slowest_s, "s", f"at most {SLOW_S:g}", found.slowest_s <= SLOW_S),
    ]


class StandingClock:
    """A clock that stands in a far later year than any record."""

    def now_ms(self) -> int:
        """The moment."""
        return 4_000_000_000_000

    def zone_min(self) -> int:
        """UTC."""
        return 0


def ids_of(journal: Journal) -> list[str]:
    """The ids of all records."""
    with journal.reading() as state:
        return list(state.records)


@contextmanager
def served(folder: Path) -> Iterator[Served]:
    """A bench full of demo data that serves."""
    app = create_app(Settings(data=folder, open_browser=False))
    try:
        fill(app.extensions["bench"])
        paths = [path for some in addresses(app).values() for path in few(some, 3)]
        with at_the_doors(app, grounds_of(app, paths, forms_on(app, paths))) as here:
            yield here
    finally:
        app.extensions["listening"].stop()
        app.extensions["bench"].journal.close()


@contextmanager
def at_the_doors(app: Flask, grounds: Grounds) -> Iterator[Served]:
    """An app at its own door and at the network's."""
    servers = [plain.make_server(door, plain.free_port(0)) for door in (app, through(app, "yard"))]
    try:
        for server in servers:
            threading.Thread(target=server.serve, daemon=True).start()
        yield Served(app, grounds, *(server.bind_addr[1] for server in servers))
    finally:
        for server in servers:
            server.stop()


def forms_on(app: Flask, paths: Iterable[str]) -> list[PostForm]:
    """The forms on some pages, one of each make."""
    client = app.test_client()
    forms: dict[tuple[str, frozenset[str]], PostForm] = {}
    for path in paths:
        answer = client.get(path)
        if answer.mimetype == "text/html" and answer.status_code == 200:
            for form in forms_of(answer.get_data(as_text=True), path):
                forms.setdefault((rule_of(app, form.action), frozenset(form.fields)), form)
    return list(forms.values())


def grounds_of(app: Flask, paths: Sequence[str], forms: Sequence[PostForm]) -> Grounds:
    """What requests to a bench are drawn from: all that its own pages name, two browsers, and no true token."""
    mine, other = _session(app), _session(app)
    rules = [rule.rule.replace("<", "").replace(">", "") for rule in app.url_map.iter_rules()]
    return Grounds([*paths, *rules], forms, (mine[0], other[0], "x" * 64, ""), (mine[1], other[1]), "localhost")


def rule_of(app: Flask, action: str) -> str:
    """The rule that takes a form: of forms with the same rule and fields one is enough."""
    found = app.url_map.bind("localhost").match(
        action.partition("#")[0].partition("?")[0], method="POST", return_rule=True
    )
    return str(found[0])


def _session(app: Flask) -> tuple[str, str]:
    """A browser of its own: the token of its forms, and its cookie."""
    with app.test_request_context("/", base_url="http://localhost"):
        made = token()
        answer = app.make_response("")
        app.session_interface.save_session(app, session, answer)
    return made, answer.headers["Set-Cookie"].partition(";")[0]


def sent(here: Served, numbers: range, seed: int) -> Found:
    """Sends the requests of these numbers, one after the other."""
    found = Found()
    for number in numbers:
        asked = drawn(here.grounds, number, seed)
        began = tick_s()
        status, body = answered(here.yard if number % STRANGERS == 0 else here.local, asked.raw)
        found.slowest_s = max(found.slowest_s, tick_s() - began)
        found.statuses[status] += 1
        traces = [trace.decode() for trace in TRACES if trace in body]
        if (status >= 500 and status != 501) or traces or (status == 0 and body != b"closed"):
            why = traces[0] if traces else str(status or "silence")
            found.fallen.append((number, why, asked))
            said = f"{number}: {why}: {asked.method} {asked.target[:200]} {asked.body[:200]!r}"
            print(said, file=sys.stderr, flush=True)  # at once: a long run is read while it goes on
        if number % 1000 == 999:
            print(f"{number + 1} sent, {len(found.fallen)} fell", file=sys.stderr, flush=True)
    return found


def answered(port: int, raw: bytes) -> tuple[int, bytes]:
    """The status and the body; status 0 where the connection was closed without an answer, or nothing came."""
    with closing(socket.create_connection((plain.HOST, port), timeout=SLOW_S + 20)) as line:
        try:
            line.sendall(raw)
            line.shutdown(socket.SHUT_WR)  # no more comes: who waits for the rest of a body is told so
            answer = http.client.HTTPResponse(line, method="HEAD" if raw.startswith(b"HEAD ") else "GET")
            answer.begin()
            return answer.status, answer.read()
        except TimeoutError:
            return 0, b"silence"
        except (OSError, http.client.HTTPException):
            return 0, b"closed"
