"""A fire that was read for days costs what a short one costs: of its readings only the new ones are looked at."""

import importlib
from typing import Any

import pytest
from flask import Flask

from bench.journal.journal import Draft
from bench.records.moments import utc_text
from bench.records.record import Record
from bench.workshop.things.firings import firing

SHORT, LONG = 140, 5_000


@pytest.fixture
def fire(app: Flask) -> str:
    """The fire that burns in the demo."""
    importlib.import_module("bench.demo").fill(app.extensions["bench"])
    found: str = app.extensions["bench"].state.open_things("firing")[0]
    return found


class Counted:
    """Counts how often anybody asks when a record was made."""

    def __init__(self, patched: pytest.MonkeyPatch) -> None:
        self.asked = 0
        before: Any = Record.when
        patched.setattr(Record, "when", property(lambda record: self._count(before.__get__(record))))

    def _count(self, found: Any) -> Any:
        self.asked += 1
        return found

    def of(self, client: Any, *pages: str) -> int:
        self.asked = 0
        for page in pages:
            assert client.get(page).status_code == 200
        return self.asked


def read(app: Flask, keeper: Any, fire: str, count: int, minutes: float = 0.1) -> None:
    """So many readings, one after the other."""
    drafts = []
    for n in range(count):
        keeper.turn(minutes)
        drafts.append(Draft("reading", fire, {"c": min(940.0, 400.0 + n)}))
    assert all(one.status == "new" for one in app.extensions["bench"].journal.write_all(drafts))


def test_a_page_after_a_reading_looks_at_that_reading_however_many_came_before(
    app: Flask, fire: str, keeper: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    client, counted, found = app.test_client(), Counted(monkeypatch), {}
    pages = (f"/firing/{fire}", "/", f"/firing/{fire}/offline.json", "/bench/offline.json")
    for many in (SHORT, LONG):
        read(app, keeper, fire, many)
        counted.of(client, *pages)
        read(app, keeper, fire, 1)
        found[many] = [counted.of(client, page) for page in pages]
    assert counted.asked < 200
    for short, long in zip(found[SHORT], found[LONG], strict=True):
        assert long <= 2 * short + 5, found


def test_a_late_reading_is_put_in_its_place_of_the_curve(app: Flask, fire: str, keeper: Any) -> None:
    """By the clock it comes in the middle: what was worked out so far is worked out anew."""
    here, client = app.extensions["bench"], app.test_client()
    read(app, keeper, fire, 200)
    assert ">940" not in client.get(f"/firing/{fire}").get_data(as_text=True)
    at = keeper.ms - 600_000
    here.journal.write("reading", fire, {"c": 777.0}, happened_at=utc_text(at), how="late")
    view = firing(here.state, fire)
    assert view is not None and len(view.curve) == len(view.readings)
    assert view.curve.c.tolist() == [r.body.c for r in view.readings]
    assert sorted(view.curve.minutes.tolist()) == view.curve.minutes.tolist()
    assert 777.0 in view.curve.c[:-1].tolist()
