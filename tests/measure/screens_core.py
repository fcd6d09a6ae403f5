"""A bench with many records behind it, its step screens, and how long they take beside their templates alone."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import chain, cycle, islice
from pathlib import Path
from typing import Any

from flask import Flask, Response, make_response, request, template_rendered
from flask.testing import FlaskClient

from bench.app import create_app
from bench.clock import tick_s
from bench.journal import FILE
from bench.journal.lines import HEAD, TAIL, body_of, encode
from bench.records.moments import EPOCH
from bench.records.record import BENCH
from bench.screens.kit.steps import step_path
from bench.settings import Settings
from bench.workshop.today import today
from tests.measure.bulk import FIRST_MS, MINUTE_MS, STATIONS, Told, records, waiting

BARE = "/drawn-from-constants"
WRITES = 5


@dataclass
class Standing:
    """A clock that stands after the last record."""

    ms: int

    def now_ms(self) -> int:
        return self.ms

    def zone_min(self) -> int:
        return 0


@dataclass
class Bare:
    """The app, a browser on it, and the last template that it showed with its values."""

    app: Flask
    client: FlaskClient
    shown: list[tuple[Any, dict[str, Any]]] = field(default_factory=list)

    def get(self, path: str) -> None:
        """Shows a page. AssertionError where that is not what came."""
        answer = self.client.get(path)
        assert answer.status_code == 200, (path, answer.status_code)
        answer.close()


@dataclass(frozen=True)
class Timed:
    """The fewest seconds of a screen and of its template alone, of its very first view, and right after a record."""

    screen_s: float
    bare_s: float
    first_s: float
    after_s: float

    @property
    def ratio(self) -> float:
        return self.screen_s / self.bare_s


def data_of(size: int, under_way: int = len(STATIONS)) -> Iterator[Told]:
    """`size` records of batches that are done, and `under_way` batches that wait, each at another station."""
    stations = tuple(islice(cycle(STATIONS), under_way))
    return chain(records(size), waiting(size, stations))


@contextmanager
def bench_with(folder: Path, size: int, under_way: int = len(STATIONS)) -> Iterator[Bare]:
    """An open bench with so many records and batches under way."""
    folder.mkdir(parents=True)
    last_ms = FIRST_MS
    with (folder / FILE).open("wb") as file:
        file.write(HEAD)
        for n, (identity, doc) in enumerate(data_of(size, under_way)):
            file.write(body_of([encode(identity, doc)], first=n == 0))
            last_ms = max(last_ms, doc["hlc"][0])
        file.write(TAIL)
    app = create_app(Settings(data=folder, open_browser=False, plain=True), keeper=Standing(last_ms + MINUTE_MS))
    bare = Bare(app, app.test_client())

    def draw() -> Response:
        template, values = bare.shown[int(request.args["n"])]
        return make_response(template.render(values))

    app.add_url_rule(BARE, "drawn_from_constants", draw)
    try:
        with app.extensions["bench"].journal.reading():
            pass
        yield bare
    finally:
        app.extensions["bench"].journal.close()


def step_screens(app: Flask) -> list[tuple[str, str]]:
    """The verb and address of the first of each sort of step that waits on a bench, and of its burning fire."""
    here = app.extensions["bench"]
    with here.journal.reading() as state:
        moment = EPOCH.fromtimestamp(here.now_ms() / 1000, EPOCH.tzinfo)
        found = today(state, moment)
    screens = {f"{step.verb} ({step.what})": step_path(step) for step in reversed(found.steps)}
    if found.firings:
        screens["heat (firing)"] = f"/firing/{found.firings[0].id}"
    return sorted(screens.items())


def timed(bare: Bare, path: str, rounds: int) -> Timed:
    """A screen and its template alone, in turn."""
    start = tick_s()
    bare.get(path)
    first_s = tick_s() - start
    bare.shown = [_captured(bare, path)]
    bare.get(f"{BARE}?n=0")
    screen: list[float] = []
    alone: list[float] = []
    for _ in range(rounds):
        for address, times in ((path, screen), (f"{BARE}?n=0", alone)):
            start = tick_s()
            bare.get(address)
            times.append(tick_s() - start)
    return Timed(min(screen), min(alone), first_s, min(_after_a_record(bare, path) for _ in range(WRITES)))


def _after_a_record(bare: Bare, path: str) -> float:
    """Seconds of a screen when something was recorded since its last view: a reading of this fire, or a setting."""
    here = bare.app.extensions["bench"]
    fire = path.removeprefix("/firing/")
    if fire in here.state.open_things("firing") and here.state.own(fire, "lit"):
        last = here.state.by_time(fire, "reading")[-1]
        here.journal.write("reading", fire, {**last.data, "c": last.data["c"] + 1})
    else:
        here.journal.write("setting.changed", BENCH, {"name": "hand", "value": "right"})
    start = tick_s()
    bare.get(path)
    return tick_s() - start


def _captured(bare: Bare, path: str) -> tuple[Any, dict[str, Any]]:
    found: list[tuple[Any, dict[str, Any]]] = []

    def note(_app: Flask, template: Any, context: dict[str, Any], **_: Any) -> None:
        found.append((template, dict(context)))

    with template_rendered.connected_to(note, bare.app):
        bare.get(path)
    return found[-1]
